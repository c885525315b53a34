import { expect, test } from "vitest";
import { halfWidth, normalCdf, normalQuantile } from "../../src/history/normal.ts";

test.each([
  [0.95, 1.644853627],
  [0.975, 1.959963985],
  [0.995, 2.575829304],
])("the quantile of %d is %d, as R 4.2.2 qnorm gives it (verified)", (p, z) => {
  expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(1e-6);
  expect(Math.abs(normalCdf(z) - p)).toBeLessThan(1e-7);
  expect(Math.abs(normalQuantile(1 - p) + z)).toBeLessThan(1e-6);
});

test("nine tenths lie within 1.6449 standard deviations", () => {
  expect(halfWidth(0.9)).toBeCloseTo(1.644854, 5);
});
