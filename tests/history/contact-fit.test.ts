import { expect, test } from "vitest";
import { dayNumber } from "../../src/domain/calendar.ts";
import { climb, findTop, spread } from "../../src/history/contact-fit.ts";
import type { FlatHistory } from "../../src/history/flat-history.ts";
import { normalCdf, normalDensity } from "../../src/numerics/normal.ts";

type Row = readonly [weeks: number, low: number, high: number, errorVariance: number];

const vague = { logWeight: 0, mean: 0, precision: 1e-9 };
const sound = { logWeight: Math.log(0.85 / 0.8), mean: Math.log(0.2), precision: 1 / 0.64 };
const fouled = { logWeight: Math.log(0.15 / 1.2), mean: Math.log(60), precision: 1 / 1.44 };

const flatOf = (
  rows: readonly Row[],
  priors: FlatHistory["priors"] = [[vague, vague]],
): FlatHistory => ({
  segment: new Int32Array(rows.length),
  weeks: Float64Array.from(rows, ([weeks]) => weeks),
  low: Float64Array.from(rows, ([, low]) => low),
  high: Float64Array.from(rows, ([, , high]) => high),
  errorVariance: Float64Array.from(rows, ([, , , error]) => error),
  priors,
});

/** Left-, interval- and right-censored values among resolved ones. */
const rows: readonly Row[] = [
  [0, -Infinity, 1.5, 0.1],
  [2, -Infinity, 1.4, 0.1],
  [5, 1.2, 1.2, 0.04],
  [9, 2.1, 2.1, 0.02],
  [14, 2.6, 2.6, 0.01],
  [20, 1, 4, 0.1],
  [26, 3.9, 3.9, 0.01],
  [33, 4.5, Infinity, 0.1],
];

test("the top of a censored line is where scipy's minimiser finds it", () => {
  // The same likelihood (0.97 normal, 0.03 normal with 2.5 more; cdf where censored), written with
  // scipy.stats.norm and minimised by Nelder-Mead, scipy 1.17.1. Mark: computed.
  const at = { growth: 0.1, levels: Float64Array.of(0.5) };
  climb(flatOf(rows), { growth: 0.1, growthVariance: 1e6, scatterVariance: 0.06 }, at);
  expect(at.growth).toBeCloseTo(0.12695543, 4);
  expect(at.levels[0]!).toBeCloseTo(0.73495221, 3);
});

test("the published drift line of a pressure gauge forecasts 184.67 for 2019-07-01", () => {
  // Five yearly calibrations; the value is verified (a public calibration example's notebook), the
  // leverage 0.923325 is computed (ordinary least squares).
  const dates = ["2011-11-06", "2013-10-07", "2015-08-01", "2016-07-23", "2018-05-11"];
  const values = [180.1, 181.5, 182.2, 183.0, 184.0];
  const week = (date: string): number => (dayNumber(date)! - dayNumber(dates[0]!)!) / 7;
  const scatterVariance = 0.159535 ** 2;
  const flat = flatOf(dates.map((date, i) => [week(date), values[i]! - 180, values[i]! - 180, 0]));
  const prior = { growth: 0, growthVariance: 1e6, scatterVariance };
  const fit = spread(flat, prior, findTop(flat, prior));
  const { level, levelVariance, covariance } = fit.levels[0]!;
  const at = week("2019-07-01");
  expect(Math.abs(180 + level + fit.growth * at - 184.67)).toBeLessThan(0.005);
  const variance = levelVariance + 2 * covariance * at + fit.growthVariance * at ** 2;
  // A value that fits less well may be wild: that widens the line by a few per cent.
  expect(variance / scatterVariance / 0.923325).toBeGreaterThan(0.97);
  expect(variance / scatterVariance / 0.923325).toBeLessThan(1.1);
});

/** Posterior moments by summing over a fine grid of growth and level: no shared code. */
function byBruteForce(data: readonly Row[], mean: number, variance: number, scatter: number) {
  const density = (x: number, v: number): number => normalDensity(x / Math.sqrt(v)) / Math.sqrt(v);
  const sums = { mass: 0, growth: 0, growth2: 0, level: 0, level2: 0 };
  for (let growth = mean - 0.6; growth <= mean + 0.6; growth += 0.008) {
    for (let level = -6; level <= 8; level += 0.08) {
      let mass =
        density(growth - mean, variance) *
        (0.85 * density(level - Math.log(0.2), 0.64) + 0.15 * density(level - Math.log(60), 1.44));
      for (const [weeks, low, high, error] of data) {
        const expected = level + growth * weeks;
        const part = (v: number): number =>
          low === high
            ? density(low - expected, v)
            : normalCdf((high - expected) / Math.sqrt(v)) -
              normalCdf((low - expected) / Math.sqrt(v));
        mass *= 0.97 * part(error + scatter) + 0.03 * part(error + scatter + 6.25);
      }
      sums.mass += mass;
      sums.growth += mass * growth;
      sums.growth2 += mass * growth ** 2;
      sums.level += mass * level;
      sums.level2 += mass * level ** 2;
    }
  }
  const growth = sums.growth / sums.mass;
  const level = sums.level / sums.mass;
  return {
    growth,
    level,
    growthSd: Math.sqrt(sums.growth2 / sums.mass - growth ** 2),
    levelSd: Math.sqrt(sums.level2 / sums.mass - level ** 2),
  };
}

const under = (weeks: number): Row => [weeks, -Infinity, Math.log(12), 0.1];
const cases: readonly (readonly [string, readonly Row[]])[] = [
  ["resolved and censored values", rows],
  ["never seen in half a year", [0, 5, 10, 15, 20, 26].map(under)],
  [
    "seen in the last two walks only",
    [...[0, 4, 8, 12, 16].map(under), [18, 2.7, 2.7, 0.06], [20, 3, 3, 0.05]],
  ],
  ["one wild value", [...[0, 4, 8].map(under), [9, 5, 5, 0.01], ...[12, 16, 20].map(under)]],
];

test.each(cases)("growth and level are those of brute-force integration: %s", (_, data) => {
  const prior = { growth: 0.11, growthVariance: 0.01, scatterVariance: 0.0225 };
  const exact = byBruteForce(data, prior.growth, prior.growthVariance, prior.scatterVariance);
  const flat = flatOf(data, [[sound, fouled]]);
  const fit = spread(flat, prior, findTop(flat, prior));
  expect(Math.abs(fit.growth - exact.growth) / exact.growthSd).toBeLessThan(0.2);
  expect(Math.sqrt(fit.growthVariance) / exact.growthSd).toBeGreaterThan(0.85);
  expect(Math.sqrt(fit.growthVariance) / exact.growthSd).toBeLessThan(1.15);
  expect(Math.abs(fit.levels[0]!.level - exact.level) / exact.levelSd).toBeLessThan(0.25);
  expect(Math.sqrt(fit.levels[0]!.levelVariance) / exact.levelSd).toBeGreaterThan(0.8);
  expect(Math.sqrt(fit.levels[0]!.levelVariance) / exact.levelSd).toBeLessThan(1.2);
});

test("the growth grid is a distribution in ascending order", () => {
  const prior = { growth: 0.11, growthVariance: 0.01, scatterVariance: 0.0225 };
  const flat = flatOf(rows, [[sound, fouled]]);
  const { growth, share } = spread(flat, prior, findTop(flat, prior)).grid;
  expect(share.reduce((sum, cell) => sum + cell, 0)).toBeCloseTo(1, 12);
  expect([...growth]).toEqual([...growth].sort((a, b) => a - b));
});
