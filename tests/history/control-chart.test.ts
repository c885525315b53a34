import { expect, test } from "vitest";
import { individualsLimits, oddValues } from "../../src/history/control-chart.ts";

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

test("one odd value stands apart, however short the series; its own ranges do not hide it", () => {
  for (const count of [4, 5, 7, 12]) {
    const values = Array.from({ length: count }, (_, i) => (i === 2 ? -5 : 0.01 * (i % 3)));
    expect(
      oddValues(values, 0.06)
        .map((odd, i) => (odd ? i : -1))
        .filter((i) => i >= 0),
    ).toEqual([2]);
    // By the handbook's limits alone it would not: its two ranges are what they are made of.
    if (count <= 7) expect(individualsLimits(values)!.low).toBeLessThan(-5);
  }
});

test("no value of an even scatter, nor of less than the meter tells apart, is odd", () => {
  expect(oddValues([0.03, -0.02, 0.01, 0.04, -0.03, 0, -0.01], 0.01)).not.toContain(true);
  expect(oddValues([0, 0, 0, 0.05, 0], 0.06)).not.toContain(true);
});
