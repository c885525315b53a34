import fc from "fast-check";
import { expect, test } from "vitest";
import { monotoneTrend } from "../../src/history/monotone-trend.ts";

test("Sen's own example: slope 4, 93 % interval 3.71 to 4.38", () => {
  // Sen, JASA 63 (1968), as tested in scipy 1.10.1 (test_theilslopes). Mark: verified.
  const x = [1, 2, 3, 4, 10, 12, 18];
  const y = [9, 15, 19, 20, 45, 55, 78];
  const trend = monotoneTrend(x, y, 0.93)!;
  expect(trend.slope).toBe(4);
  expect(Math.abs(trend.low - 3.71)).toBeLessThan(0.005);
  expect(Math.abs(trend.high - 4.38)).toBeLessThan(0.005);
});

test("a falling voltage series with one tie: S -40, variance 124, p 0.00046", () => {
  // Gilbert (1987) chapter 16 form; the series is invented. Mark: computed.
  const volts = [4.98, 4.97, 4.97, 4.94, 4.95, 4.9, 4.88, 4.89, 4.83, 4.8];
  const trend = monotoneTrend(
    volts.map((_, i) => i),
    volts,
    0.8,
  )!;
  expect(trend.score).toBe(-40);
  expect(trend.scoreVariance).toBeCloseTo(124, 9);
  expect(trend.pValue / 0.000461254).toBeCloseTo(1, 4);
  expect(trend.slope).toBeCloseTo(-0.02, 8);
  expect(trend.low).toBeLessThanOrEqual(trend.slope);
  expect(trend.high).toBeGreaterThanOrEqual(trend.slope);
});

test("one wild value among ten leaves a straight line's slope as it was", () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 9 }), fc.integer({ min: -99, max: 99 }), (at, wild) => {
      const x = Array.from({ length: 10 }, (_, i) => i);
      const y = x.map((value) => 3 * value);
      y[at] = wild;
      expect(monotoneTrend(x, y, 0.8)!.slope).toBe(3);
    }),
  );
});

test("no two days, no trend", () => {
  expect(monotoneTrend([5], [1], 0.8)).toBeNull();
  expect(monotoneTrend([5, 5], [1, 2], 0.8)).toBeNull();
});
