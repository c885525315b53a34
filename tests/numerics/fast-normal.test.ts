import { expect, test } from "vitest";
import { fastNormalCdf, halfWidth } from "../../src/numerics/fast-normal.ts";
import { normalCdf } from "../../src/numerics/normal.ts";

test("the fast distribution function is the exact one to 1e-7, and to 1e-6 of it in the tail", () => {
  for (let z = -6; z <= 6; z += 0.01) {
    const exact = normalCdf(z);
    expect(Math.abs(fastNormalCdf(z) - exact)).toBeLessThan(1e-7);
    expect(Math.abs(fastNormalCdf(z) / exact - 1)).toBeLessThan(1e-6);
  }
});

test("nine tenths lie within 1.644854 standard deviations (R 4.2.2 qnorm, verified)", () => {
  expect(halfWidth(0.9)).toBeCloseTo(1.644853627, 8);
});
