import { expect, test } from "vitest";
import { crossIntegral } from "../../../src/inference/nuisance/cross.ts";
import type { Evaluated } from "../../../src/inference/nuisance/star.ts";

/** A normal in three numbers that hang together, with this part of the whole. */
const hill = (part: number, mean: readonly number[], root: readonly (readonly number[])[]) => ({
  fit: { mean: Float64Array.from(mean), root: root.map((column) => Float64Array.from(column)) },
  logDensity: (point: Float64Array): number => {
    const off = point.map((x, i) => x - mean[i]!);
    let log = Math.log(part);
    for (const [i, column] of root.entries()) {
      const z = off[i]! / column[i]!;
      for (let row = i; row < off.length; row++) off[row]! -= column[row]! * z;
      log -= 0.5 * z * z + Math.log(column[i]! * Math.sqrt(2 * Math.PI));
    }
    return log;
  },
});

/** Made anew for each run of the test: nothing of it may be left changed. */
const hillsOf = () => [
  hill(
    0.8,
    [5, 0, 0],
    [
      [0.004, 0.003, 0.02],
      [0, 0.01, -0.03],
      [0, 0, 0.2],
    ],
  ),
  hill(
    0.2,
    [4.8, 0.01, 0.3],
    [
      [0.01, -0.004, 0],
      [0, 0.015, 0.04],
      [0, 0, 0.1],
    ],
  ),
];

/** Sums that leave something out may be off by what moves with y alone: it is made good. */
test.each([
  { lightly: 0, sparsely: 0 },
  { lightly: 1, sparsely: -3 },
])(
  "two hills with unlike scales across count by their masses, whatever their heights: %o",
  (off) => {
    const hills = hillsOf();
    /** The hills' sum, times e^(rate (y - 5)). */
    const evaluator =
      (rate: number) =>
      (points: readonly Float64Array[]): readonly Evaluated<Float64Array>[] =>
        points.map((point) => ({
          logPosterior:
            Math.log(hills.reduce((sum, { logDensity }) => sum + Math.exp(logDensity(point)), 0)) +
            rate * (point[0]! - 5),
          found: point,
        }));
    const fits = hills.map(({ fit }) => fit);
    const found = crossIntegral(fits, ["shown", "drift", "scale"], 0.02, false, {
      wholly: evaluator(0),
      lightly: evaluator(off.lightly),
      sparsely: evaluator(off.sparsely),
    })!;
    // The whole is 0.8 + 0.2, by construction.
    expect(found.logMass).toBeCloseTo(0, 3);
    const sum = (of: (point: Float64Array) => number): number =>
      found.nodes.reduce((total, { found: point, weight }) => total + weight * of(point), 0);
    expect(sum(() => 1)).toBeCloseTo(1, 9);
    expect(sum(([y]) => (y! < 4.9 ? 1 : 0))).toBeCloseTo(0.2, 3);
    // Means of the mixture: 0.8 * 5 + 0.2 * 4.8, and the same of the drift and the noise.
    expect(sum(([y]) => y!)).toBeCloseTo(4.96, 4);
    expect(sum(([, drift]) => drift!)).toBeCloseTo(0.002, 4);
    expect(sum(([, , scale]) => scale!)).toBeCloseTo(0.06, 3);
  },
);
