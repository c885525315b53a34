import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../../src/inference/chain/features.ts";
import { nestOf } from "../../src/inference/nest/nest.ts";
import {
  type InferredNode,
  posteriorOf,
  type WalkPosterior,
} from "../../src/inference/posterior.ts";
import type { LinkProblem, WalkProblem } from "../../src/inference/problem.ts";
import { WalkSums } from "../../src/inference/walk-sums.ts";
import { displayOf } from "../../src/inference/zero-runs.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/**
 * What several values of a walk's shared numbers say together is the mean of what each says by itself. The
 * nodes, and what each says, are worked out before any test: a test asks what becomes of them.
 */
const fine = { noise: 0.03, halfStep: 0.005, tails: 0.05, slope: 0.998, floor: 1e-5 };
const film = [{ share: 1, medianOhms: 60, logSd: 0.8 }];
const tight = [{ share: 1, medianOhms: 0.3, logSd: 0.6 }];
type Faults = Parameters<typeof chances>[0];
const joint = (faults: Faults, body: number | null = null): LinkProblem => ({
  ...link(2, chances(faults), body, chances({ fouled: 0.6, open: 0.05 })),
  ...{ sound: tight, fouled: film },
});
const range: NuisanceRange = {
  ...{ emf: [[4.8, 5.2]], noiseScale: 0.9, sourceOhms: [[20, 20]], loadOhms: [[1000, 1000]] },
};
const at = (emf: number) => ({
  ...{ emf: [emf], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] },
});
type Parts = readonly (readonly [emf: number, weight: number, alone: number])[];

/** Nodes of a walk, of any weights, and what each says alone. */
function nodesOf(walk: WalkProblem, emfs: readonly number[]) {
  const display = displayOf(walk.circuits, walk.zeroRuns);
  const places = { nest: nestOf(walk), display };
  const sums = new WalkSums(walk, emptyShelf(1000), places, range, at(5));
  const known = new Map(emfs.map((emf) => [emf, sums.at(at(emf))]));
  const weighed = (parts: Parts): readonly InferredNode[] =>
    parts.map(([emf, weight, alone]) => ({
      ...{ nuisance: at(emf), weight, alone, walk: known.get(emf)! },
    }));
  return { walk, weighed, each: emfs.map((emf) => posteriorOf(walk, weighed([[emf, 1, 1]]))) };
}

/** A star's centre stands for all where one has to; its weight beside the others is less. */
const star = [
  [5, 0.4, 1],
  [4.95, 0.35, 0],
  [5.06, 0.25, 0],
] as const;
const EMFS = star.map(([emf]) => emf);
const meanOf = <Of>(each: readonly Of[], of: (one: Of) => number): number =>
  star.reduce((sum, [, weight], i) => sum + weight * of(each[i]!), 0);

const shown = [
  [4.88, 4.6],
  [4.89, 4.86],
  [4.87, 4.2],
  [4.9, 4.87],
  [4.88, 4.85],
] as const;
const walkWith = (count: number): WalkProblem => ({
  ...walkOf(
    shown
      .slice(0, count)
      .map(([a, b], c) =>
        circuit(
          [joint({ fouled: 0.05, open: 0.01 }, 0), joint({ fouled: 0.3, open: 0.03 })],
          [[reading(2 * c, a, fine)], [reading(2 * c + 1, b, fine)]],
        ),
      ),
  ),
  bodies: [{ contaminated: 0.2 }],
});
const three = nodesOf(walkWith(3), EMFS);
const four = nodesOf(walkWith(4), EMFS);
type Told = WalkPosterior["circuits"][number];

describe.each([
  ["three circuits", three, true],
  ["four circuits", four, false],
] as const)("of %s", (_, { walk, weighed, each }, few) => {
  const [centre] = each as [WalkPosterior];
  /** Where nothing is likelier than 2 % at the centre, it says all. */
  const quiet = centre.circuits.map(
    ({ states, underLimit }) =>
      Math.max(underLimit!, ...states.map(([, f, o, cable]) => f! + o! + cable!)) < 0.02,
  );
  const told = (c: number, of: (one: Told) => number): number =>
    quiet[c] ? of(centre.circuits[c]!) : meanOf(each, ({ circuits }) => of(circuits[c]!));

  test("chances are their mean by weight, resistances the centre's", () => {
    const said = posteriorOf(walk, weighed(star));
    expect(new Set(quiet).size).toBe(2);
    for (const [c, own] of said.circuits.entries()) {
      expect(own.ohms).toEqual(centre.circuits[c]!.ohms);
      expect(own.underLimit).toBeCloseTo(
        told(c, ({ underLimit }) => underLimit!),
        6,
      );
      for (const [k, states] of own.states.entries()) {
        for (const [x, p] of states.entries()) {
          expect(p).toBeCloseTo(
            told(c, (one) => one.states[k]![x]!),
            6,
          );
        }
      }
    }
  });

  test("what readings say is told by all nodes where circuits are few, else by the centre", () => {
    const said = posteriorOf(walk, weighed(star), "findings");
    for (const [c, own] of said.circuits.entries()) {
      for (const k of [0, 1]) {
        const volts = (one: Told): number => one.voltsLost[k]!;
        const lost = few ? told(c, volts) : volts(centre.circuits[c]!);
        expect(own.voltsLost[k]).toBeCloseTo(lost, 6);
      }
    }
    for (const [index, { misread, expected }] of said.readings) {
      const [c, all] = [index >> 1, each.map(({ readings }) => readings.get(index)!)];
      const byAll = few && !quiet[c];
      const mean = byAll ? meanOf(all, (one) => one.misread) : all[0]!.misread;
      expect(misread).toBeCloseTo(mean, 9);
      if (byAll) expect(expected.below).not.toBeCloseTo(all[0]!.expected.below, 6);
      else expect(expected.below).toBeCloseTo(all[0]!.expected.below, 9);
    }
  });

  test("what they say by themselves is the centre's where there are many", () => {
    const own = posteriorOf(walk, weighed(star), "readings");
    const whole = posteriorOf(walk, weighed(star));
    expect(own.readings).toEqual(whole.readings);
    expect(own.bodyAtFault.size).toBe(0);
    for (const [c, { states, pinned }] of own.circuits.entries()) {
      expect(pinned).toEqual(centre.circuits[c]!.pinned);
      expect(states).toEqual((few ? whole : centre).circuits[c]!.states);
    }
  });
});

const sharing = (shown: readonly number[], contaminated: number) =>
  nodesOf(
    {
      ...walkOf([
        ...shown.map((volts, c) =>
          circuit([joint({ fouled: 0.05, open: 0.01 }, 0)], [[reading(c, volts, fine)]]),
        ),
        // Another path that passes neither body.
        circuit([joint({ fouled: 0.1 })], [[reading(9, 4.87, fine)]]),
      ]),
      bodies: [{ contaminated }, { contaminated: 0.5 }],
    },
    EMFS,
  );
const faulty = sharing([4.81, 4.83], 0.2);
const good = sharing([4.9, 4.91, 4.9], 0.02);

test("a body that may be at fault is told by all nodes", () => {
  const { walk, weighed, each } = faulty;
  const body = (one: WalkPosterior) => one.bodyAtFault.get(0)!;
  expect(body(each[0]!)).toBeGreaterThan(0.03);
  expect(body(posteriorOf(walk, weighed(star)))).toBeCloseTo(meanOf(each, body), 9);
});

test("a body that nothing points at is told by the centre, one that nobody read behind by none", () => {
  const { bodyAtFault } = posteriorOf(good.walk, good.weighed(star));
  const quiet = good.each[0]!.bodyAtFault.get(0)!;
  expect(quiet).toBeLessThan(0.02);
  expect(good.each[1]!.bodyAtFault.get(0)).not.toBeCloseTo(quiet, 5);
  expect(bodyAtFault.get(0)).toBeCloseTo(quiet, 9);
  expect([...bodyAtFault.keys()]).toEqual([0]);
});

const single = nodesOf(
  walkOf([circuit([joint({ fouled: 0.3 })], [[reading(0, 4.6, fine)]])]),
  [4.95, 5, 5.001, 5.002, 5.003, 5.2],
);
const ohms = (parts: Parts) =>
  posteriorOf(single.walk, single.weighed(parts)).circuits[0]!.ohms[0]!;
const even = (emf: number, weight: number) => [emf, weight, weight] as const;

test("nodes that stand for themselves have their parts of resistances too", () => {
  const [a, b] = [single.each[0]!, single.each[1]!].map(({ circuits: [own] }) => own!);
  const { circuits } = posteriorOf(single.walk, single.weighed([even(5, 0.6), even(4.95, 0.4)]));
  const [own] = circuits;
  const medians = [a, b].map((one) => one!.ohms[0]!.median).sort((x, y) => x - y);
  expect(own!.ohms[0]!.median).toBeGreaterThan(medians[0]! + 0.1);
  expect(own!.ohms[0]!.median).toBeLessThan(medians[1]! - 0.1);
  expect(own!.pinned.sound).toBeCloseTo(0.4 * a!.pinned.sound + 0.6 * b!.pinned.sound, 9);
  // By their parts of what is looked at: the same where both weigh half as much.
  const half = ohms([even(5, 0.3), even(4.95, 0.2)]);
  expect(half.median).toBeCloseTo(own!.ohms[0]!.median, 6);
  // A node that is next to nothing leaves no trace, of chances or of resistances.
  const more = posteriorOf(
    single.walk,
    single.weighed([even(5, 0.6), even(4.95, 0.4), even(5.2, 4e-6), [5.2, 4e-6, 0]]),
  );
  expect(more.circuits[0]!.states).toEqual(own!.states);
  expect(more.circuits[0]!.ohms).toEqual(own!.ohms);
});

describe("resistances are told", () => {
  test("by the likeliest nodes, up to all but a thousandth", () => {
    const two = [even(4.95, 0.3995), even(5, 0.6)];
    expect(ohms([even(5.2, 0.0005), ...two])).toEqual(ohms(two));
    const less = [even(4.95, 0.395), even(5, 0.6)];
    expect(ohms([even(5.2, 0.005), ...less]).high).toBeGreaterThan(ohms(less).high + 0.01);
  });

  const many = (count: number) =>
    Array.from({ length: count }, (_, i) =>
      i < 32 ? even(5 + 0.001 * (i % 4), 0.026) : even(5.2, 0.01),
    );
  const first = ohms(many(32));

  test("by 32 at most, whatever their order", () => {
    expect(ohms(many(40).reverse()).high).toBeCloseTo(first.high, 9);
  });
});

const zeros = nodesOf(
  walkOf([
    circuit([joint({ fouled: 0.3, open: 0.2 })], [[reading(0, 0, fine), reading(1, 0, fine)]]),
  ]),
  [5],
);
const bare = zeros.each[0]!.readings;

test("zeros that a display which was off may have left are expected as such", () => {
  const run = { readings: [0, 1], off: [0.1, 0.2], stays: 0.5, followed: true };
  const nodes = zeros.weighed([[5, 1, 1]]);
  const off = posteriorOf({ ...zeros.walk, zeroRuns: [run] }, nodes, "readings").readings;
  // 0.1, then 0.2 + 0.5 x 0.1 of what went off before: of the others it stays what it was.
  for (const [index, blank] of [0.1, 0.25].entries()) {
    const { below, same } = bare.get(index)!.expected;
    expect(below).toBe(0);
    expect(off.get(index)!.expected.same).toBeCloseTo((1 - blank) * same + blank, 12);
  }
  const surely = { ...run, off: [0.9, 0.8] };
  const sure = posteriorOf({ ...zeros.walk, zeroRuns: [surely] }, nodes, "readings").readings;
  expect(sure.get(1)!.expected.same).toBeCloseTo(1, 12);
});

const read = nodesOf(
  walkOf([circuit([joint({ fouled: 0.3 })], [[reading(0, 4.6, fine), reading(1, 4.55, fine)]])]),
  [5],
);

test("above 0 a blank changes what is expected: less is shown by as much as is left", () => {
  const nodes = read.weighed([[5, 1, 1]]);
  const run = { readings: [1], off: [0.3], stays: 0.5, followed: true };
  const { below, same } = read.each[0]!.readings.get(1)!.expected;
  const off = posteriorOf({ ...read.walk, zeroRuns: [run] }, nodes, "readings").readings;
  expect(below).toBeGreaterThan(0.1);
  expect(off.get(1)!.expected.below).toBeCloseTo(0.7 * below, 12);
  expect(off.get(1)!.expected.same).toBeCloseTo(0.7 * same + 0.3, 12);
});
