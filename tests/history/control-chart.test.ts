import { expect, test } from "vitest";
import { individualsLimits } from "../../src/history/control-chart.ts";

test("limits of the NIST/SEMATECH worked example (6.3.2.2): 50.81, 45.8159 to 55.8041", () => {
  // Mark: verified, as quoted by third parties. The exact d2 = 2/sqrt(pi) would give 55.8024.
  const limits = individualsLimits([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!;
  expect(limits.centre).toBeCloseTo(50.81, 9);
  expect(Math.abs(limits.meanRange - 1.8778)).toBeLessThan(5e-5);
  expect(Math.abs(limits.high - 55.8041)).toBeLessThan(5e-4);
  expect(Math.abs(limits.low - 45.8159)).toBeLessThan(5e-4);
  expect(Math.abs(limits.rangeHigh - 6.1349)).toBeLessThan(1e-3);
});

test("one value has no limits", () => {
  expect(individualsLimits([4.9])).toBeNull();
});
