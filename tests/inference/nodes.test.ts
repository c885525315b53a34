import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../../src/inference/chain/features.ts";
import { infer } from "../../src/inference/infer.ts";
import { nestOf } from "../../src/inference/nest/nest.ts";
import type { LinkProblem, WalkProblem } from "../../src/inference/problem.ts";
import { WalkSums } from "../../src/inference/walk-sums.ts";
import { displayOf } from "../../src/inference/zero-runs.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";
import { saidBy, saidOf, walkSums } from "./walk-sums.ts";

/** What conducts beside what was pressed, and what lies behind it. */
const fine = { noise: 0.03, halfStep: 0.005, tails: 0.05, slope: 0.998, floor: 1e-5 };
const film = [{ share: 1, medianOhms: 60, logSd: 0.8 }];
const tight = [{ share: 1, medianOhms: 0.3, logSd: 0.6 }];
const joint = (
  faults: Parameters<typeof chances>[0],
  body: number | null = null,
  dirty: Parameters<typeof chances>[0] = { fouled: 0.6, open: 0.05 },
): LinkProblem => ({
  ...link(2, chances(faults), body, chances(dirty)),
  ...{ sound: tight, fouled: film },
});
const range: NuisanceRange = {
  ...{ emf: [[4.8, 5.2]], noiseScale: 0.9, sourceOhms: [[20, 20]], loadOhms: [[1000, 1000]] },
};
const at = (emf: number, over: object = {}) => ({
  ...{ emf: [emf], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] },
  ...over,
});
const sumsOf = (walk: WalkProblem) =>
  new WalkSums(
    walk,
    emptyShelf(1000),
    {
      nest: nestOf(walk),
      display: displayOf(walk.circuits, walk.zeroRuns),
    },
    range,
    at(5),
  );
describe("sums over what conducts", () => {
  const path = (first: number, shown: readonly number[], over = {}) =>
    circuit(
      [joint({ fouled: 0.1, open: 0.02 }), joint({ fouled: 0.1, open: 0.02 })],
      shown.map((v, k) => [reading(first + k, v, { ...fine, noise: 0.06, halfStep: 0.02 })]),
      over,
    );
  const leak = { kind: "wet", link: 1, chance: 0.2, medianOhms: 120, logSd: 0.4 } as const;

  test("what was pressed says of a path that conducts what it says of one that does not", () => {
    const pressed = [[reading(7, 1, { ...fine, noise: 0.15, halfStep: 0.05 })], []];
    const logOf = (over: object) =>
      sumsOf(walkOf([path(0, [4.2, 4.15], over)])).at(at(5)).logLikelihood;
    const [none, leaks, presses, both] = [
      logOf({}),
      logOf({ conducting: [leak] }),
      logOf({ pressed }),
      logOf({ conducting: [leak], pressed }),
    ];
    expect(Math.abs(leaks! - none!)).toBeGreaterThan(0.1);
    expect(both! - leaks!).toBeCloseTo(presses! - none!, 6);
  });
});

describe("behind water across a plug", () => {
  const leak = { kind: "wet", link: 0, chance: 0.5, medianOhms: 120, logSd: 0.4 } as const;
  const noisy = { noise: 0.1, halfStep: 0.05, tails: 0.1, slope: 0.99, floor: 2e-4 };
  const own = (faults: Parameters<typeof chances>[0]) => ({
    ...joint(faults),
    fouled: [{ share: 1, medianOhms: 80, logSd: 0.5 }],
  });
  const leaking = walkOf([
    circuit(
      [own({ fouled: 0.1, open: 0.01 }), own({ fouled: 0.4, open: 0.1, cable: 0.05 })],
      [[reading(0, 4, noisy)], [reading(1, 3.7, noisy)]],
      { conducting: [leak], limitOhms: 60 },
    ),
  ]);
  const place = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };
  const [truth] = saidOf(leaking, walkSums(leaking, place, { sound: 9, fouled: 25 })).circuits;

  test("contacts there, the limit and the volts are told as well as in front of it", () => {
    const [found] = saidBy(infer(leaking, emptyShelf(1000))).circuits;
    for (const k of [0, 1]) {
      for (const [x, p] of truth!.states[k]!.entries()) {
        expect(Math.abs(found!.states[k]![x]! - p)).toBeLessThan(0.01);
      }
      expect(Math.abs(found!.voltsLost[k]! - truth!.voltsLost[k]!)).toBeLessThan(0.01);
      expect(Math.abs(Math.log(found!.ohms[k]!.median / truth!.ohms[k]!.median))).toBeLessThan(0.2);
    }
    expect(Math.abs(found!.underLimit! - truth!.underLimit!)).toBeLessThan(0.03);
    expect(Math.abs(found!.conducting[0]! - truth!.conducting[0]!)).toBeLessThan(0.01);
  });
});
