import { expect, test } from "vitest";
import { logSum } from "../../src/numerics/log-sum.ts";

// By hand: e^-1000 + 3 e^-1000 = 4 e^-1000, where each by itself is 0 in double precision.
test("the sum is right where every exponential is 0 or infinite", () => {
  expect(logSum([-1000, -1000 + Math.log(3)])).toBeCloseTo(-1000 + Math.log(4), 10);
  expect(logSum([1000, 1000])).toBeCloseTo(1000 + Math.LN2, 10);
  expect(logSum([Number.NEGATIVE_INFINITY, 2])).toBe(2);
});
