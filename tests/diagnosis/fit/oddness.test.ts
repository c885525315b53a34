import { expect, test } from "vitest";
import { oddnessOf } from "../../../src/diagnosis/fit/oddness.ts";

const at = (u: number) => ({ below: u, same: 0 });

test("one odd value among four: the least two-sided p to Šidák's power", () => {
  // By hand: q = 0.002; 1 - 0.998^4 = 0.007976.
  const { p, by } = oddnessOf([at(0.4), at(0.001), at(0.6), at(0.5)]);
  expect(p).toBeCloseTo(0.007976, 6);
  expect(by).toBe("single");
});

test("values none of which is odd by itself, the first half high and the second low, are odd", () => {
  const row = Array.from({ length: 24 }, (_, i) => at(i < 12 ? 0.85 : 0.15));
  expect(oddnessOf(row).p).toBeLessThan(0.001);
  const turned = Array.from({ length: 24 }, (_, i) => at(i % 2 ? 0.85 : 0.15));
  expect(oddnessOf(turned).p).toBeGreaterThan(0.5);
});

test("no reading is no oddness", () => {
  expect(oddnessOf([]).p).toBe(1);
});
