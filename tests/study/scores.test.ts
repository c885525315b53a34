import { expect, test } from "vitest";
import {
  brierScore,
  calibrationBins,
  calibrationError,
  type Forecast,
  murphyParts,
} from "./scores.ts";

const forecasts = (probability: number, n: number, ones: number): Forecast[] =>
  Array.from({ length: n }, (_, i) => ({ probability, came: i < ones }));

// scikit-learn's brier_score_loss, docstring example (verified: the installed package prints it).
test("the Brier score of four forecasts is 0.0375", () => {
  const stated = [0.1, 0.9, 0.8, 0.3];
  const came = [0, 1, 1, 0];
  const list = stated.map((probability, i) => ({ probability, came: came[i] === 1 }));
  expect(brierScore(list)).toBeCloseTo(0.0375, 12);
});

// A single forecast of 0.8 for what came: (1 - 0.8)^2 (computed, by definition).
test("one forecast of 0.8 that came scores 0.04", () => {
  expect(brierScore([{ probability: 0.8, came: true }])).toBeCloseTo(0.04, 12);
});

// Murphy (1973), BS = REL - RES + UNC, on three bins of ten (computed from the formula).
test("Murphy's parts add up to the Brier score", () => {
  const list = [...forecasts(0.1, 10, 1), ...forecasts(0.5, 10, 6), ...forecasts(0.9, 10, 8)];
  const { reliability, resolution, uncertainty } = murphyParts(calibrationBins(list));
  expect(brierScore(list)).toBeCloseTo(0.17, 9);
  expect(reliability).toBeCloseTo(0.0066666667, 9);
  expect(resolution).toBeCloseTo(0.0866666667, 9);
  expect(uncertainty).toBeCloseTo(0.25, 9);
  expect(reliability - resolution + uncertainty).toBeCloseTo(0.17, 9);
});

// By hand: gaps 0, 0.1 and 0.1 in three bins of equal weight.
test("the calibration error is the mean gap, weighted by how often it was stated", () => {
  const list = [...forecasts(0.1, 10, 1), ...forecasts(0.5, 10, 6), ...forecasts(0.9, 10, 8)];
  expect(calibrationError(calibrationBins(list))).toBeCloseTo(0.2 / 3, 12);
});

test("certainty falls into the last bin", () => {
  expect(calibrationBins(forecasts(1, 3, 3))).toEqual([{ count: 3, stated: 1, came: 1 }]);
});
