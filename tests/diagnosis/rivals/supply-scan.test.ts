import { expect, test } from "vitest";
import { movingSupply } from "../../../src/diagnosis/rivals/supply-scan.ts";
import { exactOhms, type WalkProblem } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../../inference/small-walks.ts";

/**
 * Circuits of one sound contact, each read once: what is shown is k (E + A z + D x) and noise, a normal
 * model whose evidence is summed here over E and A on a fine grid, place by place.
 */
const fine = { noise: 0.02, halfStep: 0.005, tails: 0, slope: 1, floor: 1e-30 };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };
const one = link(1, chances({}));
/** A sketch takes a sound contact for 0.28 ohm. */
const K = 1000 / (1000 + 20 + 1 + 0.28);
/** The display's own width counts as noise. */
const VARIANCE = 0.02 ** 2 + 0.005 ** 2 / 3;

const supply = { emf: 5, emfSd: 0.05, sourceOhms: exactOhms(20) };
const shownBy = (levels: readonly number[], over: Partial<WalkProblem> = {}): WalkProblem =>
  walkOf(
    levels.map((level, i) => circuit([one], [[reading(i + 7, K * level, fine)]])),
    { supplies: [supply], driftSd: 0.01, ...over },
  );

const around = (width: number, step: number): readonly number[] =>
  Array.from({ length: 2 * Math.round(width / step) + 1 }, (_, i) => i * step - width);
const normal = (x: number, sd: number): number =>
  Math.exp(-0.5 * (x / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));
/** ln P(levels), `by` of the EMF added to each circuit's in turn. */
function logSeen(levels: readonly number[], by: readonly number[], emfSd = 0.05): number {
  const sum = around(0.3, 0.003).reduce((all, e) => {
    const fit = levels.reduce(
      (p, level, i) => p - (K * (level - 5 - e - by[i]!)) ** 2 / VARIANCE,
      0,
    );
    return all + normal(e, emfSd) * Math.exp(fit / 2) * 0.003;
  }, 0);
  return Math.log(sum);
}
/** The same, an unknown amount of standard deviation `sd` added where `at` is 1. */
const logWith = (
  levels: readonly number[],
  at: readonly number[],
  sd: number,
  emfSd?: number,
): number =>
  Math.log(
    around(4 * sd, sd / 10).reduce((sum, amount) => {
      const by = at.map((z) => z * amount);
      return sum + (normal(amount, sd) * Math.exp(logSeen(levels, by, emfSd)) * sd) / 10;
    }, 0),
  );
const still = (levels: readonly number[], emfSd?: number) =>
  logSeen(levels, new Array(levels.length).fill(0), emfSd);
const kinds = (walk: WalkProblem) =>
  new Map(movingSupply(walk, nuisance).map((rival) => [rival.kind, rival]));
const offsets = ({ circuits }: WalkProblem) =>
  circuits.map(({ readings }) => readings.flat().map(({ emfOffset }) => emfOffset ?? 0));

/** A step's evidence over all pairs of places, each as likely, and all amounts. */
function logSteps(levels: readonly number[], emfSd?: number): number {
  const places = levels.flatMap((_, to) =>
    levels.flatMap((__, from) => {
      return from > 0 && from <= to ? [[from, to + 1] as const] : [];
    }),
  );
  const all = places.map(([from, to]) => {
    const inside = levels.map((_, i) => (i >= from && i < to ? 1 : 0));
    return Math.exp(logWith(levels, inside, 0.1, emfSd));
  });
  return Math.log(all.reduce((sum, one) => sum + one, 0) / places.length);
}

test("a step: all pairs of places and all amounts, against none at all", () => {
  const levels = [5.01, 4.83, 4.84, 5, 4.99];
  const step = kinds(shownBy(levels)).get("supply-steps")!;
  expect(step).toMatchObject({ circuit: 1, link: 0, other: null });
  expect(step.logOdds).toBeCloseTo(Math.log(0.02), 12);
  const [before, second, third, ...behind] = offsets(step.problem);
  expect([before, ...behind]).toEqual([[0], [0], [0]]);
  expect(second![0]).toBeCloseTo(-0.16, 9);
  expect(third).toEqual(second);
  const all = logSteps(levels);
  expect(step.logRatio).toBeCloseTo(all - still(levels), 2);
  // What the exact run of this one is to be multiplied by: all of them over this one.
  const own = logSeen(levels, offsets(step.problem).flat());
  expect(step.logSpread).toBeCloseTo(all - own, 2);
});

test("noise that the step itself makes is not believed, less than the stated is", () => {
  const walk = shownBy([5.01, 4.83, 4.84, 5, 4.99]);
  const [stated, loud, still] = [1, 2, 0.5].map((noiseScale) =>
    movingSupply(walk, { ...nuisance, noiseScale }),
  );
  expect(loud).toEqual(stated);
  expect(still![1]!.logRatio).toBeGreaterThan(stated![1]!.logRatio);
});

test("of an EMF that is known for sure only the step's amount is asked", () => {
  // Known is within half a spacing of the levels, 0.005 V.
  const levels = [5.01, 4.93, 4.94, 5, 4.99];
  const known = shownBy(levels, { supplies: [{ ...supply, emfSd: 0 }] });
  const { logRatio } = kinds(known).get("supply-steps")!;
  const narrow = logSteps(levels, 0.005) - still(levels, 0.005);
  expect(Math.abs(logRatio - narrow)).toBeLessThan(0.1);
  expect(Math.abs(logRatio - (logSteps(levels) - still(levels)))).toBeGreaterThan(0.2);
});

test("a step that stays until the end is found where it begins", () => {
  const levels = [5, 5.01, 5, 5.16, 5.15, 5.14];
  const { problem, circuit: first, logRatio } = kinds(shownBy(levels)).get("supply-steps")!;
  expect(first).toBe(3);
  const [, , , ...behind] = offsets(problem);
  for (const [by] of behind) expect(by).toBeCloseTo(0.14, 1);
  expect(offsets(problem).slice(0, 3)).toEqual([[0], [0], [0]]);
  expect(logRatio).toBeCloseTo(logSteps(levels) - still(levels), 2);
});

test("a drift ten times the model's, in closed form", () => {
  // x = -0.4, -0.2, 0, 0.2, 0.4: E and D part. With a = K^2 sum x^2 / v and b = K^2 sum x y / v the
  // factor of a width w is e^(b^2 / 2 (a + 1/w^2)) / (w sqrt(a + 1/w^2)).
  const levels = [4.93, 4.97, 5, 5.02, 5.08];
  const places = [-0.4, -0.2, 0, 0.2, 0.4];
  const a = (K * K * places.reduce((sum, x) => sum + x * x, 0)) / VARIANCE;
  const b = (K * K * places.reduce((sum, x, i) => sum + x * (levels[i]! - 5), 0)) / VARIANCE;
  const logFactor = (w: number): number =>
    b ** 2 / (2 * (a + 1 / w ** 2)) - Math.log(w * Math.sqrt(a + 1 / w ** 2));
  const drift = kinds(shownBy(levels, { driftSd: 0.005 })).get("supply-drifts")!;
  expect(drift).toMatchObject({ circuit: null, link: null, other: null, logSpread: 0 });
  expect(drift.logOdds).toBeCloseTo(Math.log(0.02), 12);
  expect(drift.problem.driftSd).toBeCloseTo(0.05, 12);
  expect(drift.logRatio).toBeGreaterThan(1);
  expect(Math.abs(drift.logRatio - (logFactor(0.05) - logFactor(0.01)))).toBeLessThan(0.25);
  // The model's own drift counts as wide as a spacing, 0.01 V. A walk that is all level speaks for the narrower law by its own density.
  const level = kinds(shownBy([5, 5, 5, 5, 5])).get("supply-drifts")!.logRatio;
  expect(level).toBeLessThan(0);
});

test("of a supply that can't drift no drift is a rival, of less than four circuits nothing", () => {
  const levels = [5, 4.85, 4.85, 5];
  expect([...kinds(shownBy(levels, { driftSd: 0 })).keys()]).toEqual(["supply-steps"]);
  expect([...kinds(shownBy(levels)).keys()]).toEqual(["supply-drifts", "supply-steps"]);
  expect(movingSupply(shownBy(levels.slice(1)), nuisance)).toEqual([]);
});

/** Circuits of two points, read one after the other. */
const paths = (levels: readonly number[]) =>
  Array.from({ length: levels.length / 2 }, (_, c) =>
    circuit(
      [one, link(0, chances({}))],
      [
        [reading(2 * c, (1000 / 1021.28) * levels[2 * c]!, fine)],
        [reading(2 * c + 1, (1000 / 1021.56) * levels[2 * c + 1]!, fine)],
      ],
    ),
  );

test("a step within circuits is followed to the reading, at both its ends", () => {
  const low = (from: number, to: number) =>
    Array.from({ length: 12 }, (_, j) => (j >= from && j < to ? 4.86 : 5));
  for (const [from, to] of [
    [3, 8],
    [4, 9],
    [5, 7],
  ] as const) {
    const walk = walkOf(paths(low(from, to)), { supplies: [supply] });
    const step = kinds(walk).get("supply-steps")!;
    const moved = offsets(step.problem)
      .flat()
      .map((by) => by !== 0);
    expect(moved).toEqual(low(from, to).map((level) => level < 5));
  }
});

test("readings with the switch pressed see the step as well", () => {
  const walk = walkOf(paths([5, 5, 5, 5, 4.85, 4.85, 4.85, 4.85, 5, 5]), { supplies: [supply] });
  const circuits = walk.circuits.map((own, c) => ({
    ...own,
    readings: own.readings.map((row) =>
      row.map((at) => ({ ...at, index: 3 * c + 2 * (at.index % 2) })),
    ),
    pressed: [[], [reading(3 * c + 1, 0.1, fine)]],
  }));
  const { problem } = kinds({ ...walk, circuits }).get("supply-steps")!;
  const moved = problem.circuits.map(({ pressed }) => pressed[1]![0]!.emfOffset !== undefined);
  expect(moved).toEqual([false, false, true, true, false]);
});

test("circuits that were not read one after the other show no step between them", () => {
  const [first, ...rest] = paths([5, 5, 4.85, 4.85, 4.85, 4.85, 5, 5]);
  const late = {
    ...first!,
    readings: [first!.readings[0]!, first!.readings[1]!.map((at) => ({ ...at, index: 9 }))],
  };
  const walk = walkOf([late, ...rest], { supplies: [supply], driftSd: 0.01 });
  expect([...kinds(walk).keys()]).toEqual(["supply-drifts"]);
});

test("it is the supply that feeds most circuits which moves, in the order of the readings", () => {
  const numbered = (levels: readonly [number, number], at: readonly [number, number], of = 1) => ({
    ...paths(levels)[0]!,
    readings: paths(levels)[0]!.readings.map((row, k) =>
      row.map((one) => ({ ...one, index: at[k]! })),
    ),
    supply: of,
  });
  const [full, low] = [[5, 5] as const, [4.85, 4.85] as const];
  // One circuit of the other supply is read in between and later: no step of this one is seen there.
  const circuits = [
    numbered(low, [5, 6]),
    numbered(full, [4, 9], 0),
    numbered(full, [0, 1]),
    numbered(full, [7, 8]),
    numbered(low, [2, 3]),
  ];
  const two = { ...nuisance, emf: [4.9, 5], sourceOhms: [20, 20] };
  const [step] = movingSupply(walkOf(circuits, { supplies: [supply, supply] }), two);
  // The first circuit that saw it, by its number in the walk.
  expect(step).toMatchObject({ kind: "supply-steps", circuit: 4 });
  const moved = offsets(step!.problem).map((row) => row.map((by) => by < 0));
  const [not, all] = [
    [false, false],
    [true, true],
  ];
  expect(moved).toEqual([all, not, not, not, all]);
});
