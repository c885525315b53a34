import { expect, test } from "vitest";
import { buildNest } from "../../../src/inference/nest/nest.ts";
import { sumNest } from "../../../src/inference/nest/nest-sum.ts";

/**
 * Two circuits behind one plate (contaminated with chance 0.1), all behind one outlet (0.2), worked
 * by hand. Circuit 0 passes outlet and plate, circuit 1 too, circuit 2 the outlet alone. Likelihoods
 * by configuration, outlet in the lowest bit:
 *
 *     circuit 0: 1, 2, 3, 4    circuit 1: 2, 1, 4, 2    circuit 2: 1, 5
 *
 *     outlet clean:        0.8 [0.9 (1 2) + 0.1 (3 4)] 1 = 0.8 x 3.0     = 2.4
 *     outlet contaminated: 0.2 [0.9 (2 1) + 0.1 (4 2)] 5 = 0.2 x 2.6 x 5 = 2.6
 */
const nest = buildNest([[0, 1], [0, 1], [0]], [0.2, 0.1]);
const circuits = [
  { logScale: 0, values: Float64Array.of(1, 2, 3, 4) },
  { logScale: Math.log(10), values: Float64Array.of(0.2, 0.1, 0.4, 0.2) },
  { logScale: 0, values: Float64Array.of(1, 5) },
];

test("the sum over bodies is the one worked by hand", () => {
  const { logLikelihood, posterior } = sumNest(nest, circuits);
  expect(Math.exp(logLikelihood)).toBeCloseTo(5, 12);
  // Outlet contaminated: 2.6 of 5. Outlet clean and plate contaminated: 0.8 x 0.1 x 12 = 0.96.
  expect(posterior[2]![1]).toBeCloseTo(2.6 / 5, 12);
  expect(posterior[0]![2]).toBeCloseTo(0.96 / 5, 12);
  expect(posterior[0]!.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 12);
});

test("a chance within the sum: likelihoods with one more thing true", () => {
  const { chance } = sumNest(nest, circuits);
  // Of the plate's two circuits the first keeps a half of its likelihood, whatever the bodies.
  const half = chance(1, (c) => circuits[c]!.values.map((x) => (c === 0 ? x / 2 : x)));
  expect(half).toBeCloseTo(0.5, 12);
});

test("a circuit that shares nothing multiplies by itself", () => {
  const alone = buildNest([[]], []);
  const { logLikelihood } = sumNest(alone, [{ logScale: 1, values: Float64Array.of(3) }]);
  expect(logLikelihood).toBeCloseTo(1 + Math.log(3), 12);
});
