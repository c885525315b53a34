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
const nested = () => buildNest([[0, 1], [0, 1], [0]], [0.2, 0.1]);
const circuits = [
  { logScale: 0, values: Float64Array.of(1, 2, 3, 4) },
  { logScale: Math.log(10), values: Float64Array.of(0.2, 0.1, 0.4, 0.2) },
  { logScale: 0, values: Float64Array.of(1, 5) },
];

test("the sum over bodies is the one worked by hand", () => {
  const { logLikelihood, posterior } = sumNest(nested(), circuits);
  expect(Math.exp(logLikelihood)).toBeCloseTo(5, 12);
  // Outlet contaminated: 2.6 of 5. Outlet clean and plate contaminated: 0.8 x 0.1 x 12 = 0.96.
  expect(posterior[2]![1]).toBeCloseTo(2.6 / 5, 12);
  expect(posterior[0]![2]).toBeCloseTo(0.96 / 5, 12);
  expect(posterior[0]!.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 12);
});

test("a chance within the sum: likelihoods with one more thing true", () => {
  const { chance } = sumNest(nested(), circuits);
  // Of the plate's two circuits the first keeps a half of its likelihood, whatever the bodies.
  const half = chance(1, (c) => circuits[c]!.values.map((x) => (c === 0 ? x / 2 : x)));
  expect(half).toBeCloseTo(0.5, 12);
});

test("a circuit that shares nothing multiplies by itself", () => {
  const alone = buildNest([[]], []);
  const { logLikelihood } = sumNest(alone, [{ logScale: 1, values: Float64Array.of(3) }]);
  expect(logLikelihood).toBeCloseTo(1 + Math.log(3), 12);
});

test("bodies that share circuits without one holding all of the other's are refused", () => {
  expect(() => buildNest([[0], [0, 1], [1]], [0.1, 0.1])).toThrow("connectors share circuits");
});

test("two bodies of the same circuits have one room, a circuit's bits in its own order", () => {
  // P = 0.2 x 0.1: both contaminated. The second circuit has its bits the other way round.
  const both = buildNest(
    [
      [0, 1],
      [1, 0],
    ],
    [0.2, 0.1],
  );
  expect(both.rooms).toHaveLength(1);
  const { logLikelihood, posterior, chance } = sumNest(both, [
    { logScale: 0, values: Float64Array.of(1, 2, 3, 4) },
    { logScale: 0, values: Float64Array.of(1, 5, 1, 1) },
  ]);
  // States (body 0, body 1): 00 0.72 x 1, 10 0.18 x 2 x 1, 01 0.08 x 3 x 5, 11 0.02 x 4 x 1.
  expect(Math.exp(logLikelihood)).toBeCloseTo(0.72 + 0.36 + 1.2 + 0.08, 12);
  expect(posterior[0]![2]).toBeCloseTo(1.2 / 2.36, 12);
  expect(posterior[1]![1]).toBeCloseTo(1.2 / 2.36, 12);
  const ones = (c: number) => (c === 0 ? Float64Array.of(1, 0, 0, 0) : Float64Array.of(1, 5, 1, 1));
  expect(chance(1, ones)).toBeCloseTo(0.72 / 2.36, 12);
  expect(() => chance(7, ones)).toThrow("no circuit was read behind body 7");
});

test("what no state allows is 0, and the others keep their parts", () => {
  const { logLikelihood, posterior } = sumNest(nested(), [
    { logScale: 0, values: new Float64Array(4) },
    ...circuits.slice(1),
  ]);
  expect(logLikelihood).toBe(Number.NEGATIVE_INFINITY);
  expect(posterior).toHaveLength(3);
});

/**
 * An outlet of all, a harness of three circuits with two plates in it, a plug of one, a second outlet
 * apart, and a circuit that passes nothing: against every state of the six bodies.
 */
const bodiesOf = [[0, 1, 2], [0, 1, 2], [0, 1, 3], [0], [4], [5, 4], []];
const contaminated = [0.3, 0.2, 0.4, 0.1, 0.25, 0.35];
const values = bodiesOf.map((own, c) =>
  Float64Array.from(
    { length: 1 << own.length },
    (_, at) => 0.2 + (((c + 2) * (at + 3) * 7) % 11) / 7,
  ),
);
const configurationIn = (own: readonly number[], state: number): number =>
  own.reduce((bits, body, bit) => bits | (((state >> body) & 1) << bit), 0);
const overStates = (of: (state: number) => number, each = values): number => {
  let sum = 0;
  for (let state = 0; state < 64; state++) {
    const prior = contaminated.reduce((p, x, body) => p * ((state >> body) & 1 ? x : 1 - x), 1);
    const whole = bodiesOf.reduce((p, own, c) => p * each[c]![configurationIn(own, state)]!, prior);
    sum += whole * of(state);
  }
  return sum;
};

test("rooms within rooms, side by side, and none: every state of every body", () => {
  const scales = bodiesOf.map((_, c) => 3 * c - 10);
  const given = values.map((own, c) => ({ logScale: scales[c]!, values: own }));
  const { logLikelihood, posterior, chance } = sumNest(buildNest(bodiesOf, contaminated), given);
  const total = overStates(() => 1);
  const all = scales.reduce((sum, scale) => sum + scale, 0);
  expect(logLikelihood).toBeCloseTo(Math.log(total) + all, 10);
  for (const [c, own] of bodiesOf.entries()) {
    for (let at = 0; at < 1 << own.length; at++) {
      const exact = overStates((state) => (configurationIn(own, state) === at ? 1 : 0)) / total;
      expect(posterior[c]![at]).toBeCloseTo(exact, 10);
    }
  }
  // One more thing true of the circuits of one body: a part of each of their likelihoods.
  for (const body of contaminated.keys()) {
    const less = values.map((own, c) =>
      bodiesOf[c]!.includes(body) ? own.map((x, at) => x / (2 + at)) : own,
    );
    expect(chance(body, (c) => less[c]!)).toBeCloseTo(overStates(() => 1, less) / total, 10);
  }
});

test("likelihoods that are nothing, or of any size, leave no trace in the others", () => {
  const given = values.map((own, c) => ({
    logScale: 0,
    values: own.map((x, at) =>
      c === 0 && at > 0 ? 0 : x * (c === 1 ? 1e-200 : c === 2 ? 1e200 : 1),
    ),
  }));
  const { logLikelihood, posterior } = sumNest(buildNest(bodiesOf, contaminated), given);
  const own = values.with(
    0,
    values[0]!.map((x, at) => (at > 0 ? 0 : x)),
  );
  expect(logLikelihood).toBeCloseTo(Math.log(overStates(() => 1, own)), 9);
  expect(posterior[0]![0]).toBeCloseTo(1, 12);
  const none = given.with(0, { logScale: 0, values: new Float64Array(8) });
  expect(sumNest(buildNest(bodiesOf, contaminated), none).logLikelihood).toBe(
    Number.NEGATIVE_INFINITY,
  );
});
