import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../../src/inference/chain/features.ts";
import { infer } from "../../src/inference/infer.ts";
import { buildNest, nestOf } from "../../src/inference/nest/nest.ts";
import type { LinkProblem, WalkProblem } from "../../src/inference/problem.ts";
import { WalkSums } from "../../src/inference/walk-sums.ts";
import { displayOf } from "../../src/inference/zero-runs.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";
import { saidBy, saidOf, walkSums } from "./walk-sums.ts";

/** A walk at a few values of its shared numbers, and what those have in what is said. */
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
const one = (faults: Parameters<typeof chances>[0], shown: readonly number[], over = {}) =>
  walkOf([
    circuit([joint(faults, null, faults)], [shown.map((v, i) => reading(i, v, fine))], over),
  ]);

describe("sums that leave out what moves hardly anything", () => {
  test("contacts that hardly ever come and go count as sound", () => {
    const walk = one({ fouled: 0.1, intermittent: 0.005 }, [4.88, 4.87]);
    const sums = sumsOf(walk);
    expect(sums.leavesOut("light")).toBe(true);
    const still = sumsOf(one({ fouled: 0.1 }, [4.88, 4.87]));
    expect(still.leavesOut("light")).toBe(false);
    expect(sums.at(at(5), "light").logLikelihood).toBeCloseTo(still.at(at(5)).logLikelihood, 9);
    // A contact that is good at each of two readings: 0.7 of 0.7 of them are.
    const more = sums.at(at(5)).logLikelihood - sums.at(at(5), "light").logLikelihood;
    expect(more).toBeLessThan(-0.001);
    expect(more).toBeGreaterThan(Math.log(1 - 0.005));
  });

  test("not where that may be, or explains what was read", () => {
    const often = sumsOf(one({ fouled: 0.1, intermittent: 0.07 }, [4.88, 4.87]));
    expect(often.leavesOut("light")).toBe(false);
    expect(often.at(at(5), "light").logLikelihood).toBe(often.at(at(5)).logLikelihood);
    expect(sumsOf(one({ fouled: 0.1, intermittent: 0.05 }, [4.88, 4.87])).leavesOut("light")).toBe(
      true,
    );
    const shaky = sumsOf(one({ fouled: 0.1, intermittent: 0.05 }, [4.88, 4.4, 4.87]));
    expect(shaky.leavesOut("light")).toBe(false);
    // Of two contacts each with 0.04 one comes and goes with 0.08, clean or not.
    const two = (faults: object, dirty: object) =>
      sumsOf({
        ...walkOf([
          circuit(
            [joint(faults, 0, dirty), joint({ intermittent: 0.04 }, null, { intermittent: 0.04 })],
            [[], [reading(0, 4.86, fine)]],
          ),
        ]),
        bodies: [{ contaminated: 0.1 }],
      }).leavesOut("light");
    expect(two({ intermittent: 0.04 }, {})).toBe(false);
    expect(two({}, { intermittent: 0.04 })).toBe(false);
    expect(two({ intermittent: 0.01 }, { intermittent: 0.01 })).toBe(true);
  });

  test("contacts that hang together are taken one by one", () => {
    const [bad, good] = [chances({ fouled: 0.8 }), chances({ fouled: 0.05 })];
    const patterns = [
      { chance: 0.3, states: [[bad, bad] as const] },
      { chance: 0.7, states: [[good, good] as const] },
    ];
    const sums = sumsOf(one({ fouled: 0.5 }, [4.5], { patterns }));
    expect(sums.leavesOut("light")).toBe(true);
    const apart = sumsOf(one({ fouled: 0.5 }, [4.5]));
    expect(sums.at(at(5), "light").logLikelihood).toBeCloseTo(apart.at(at(5)).logLikelihood, 9);
    // 0.3 x 0.8 + 0.7 x 0.05 = 0.275 fouled.
    const mean = sumsOf(one({ fouled: 0.275 }, [4.5]));
    expect(sums.at(at(5)).logLikelihood).toBeCloseTo(mean.at(at(5)).logLikelihood, 9);
  });

  test("what was summed before is the same when it is asked again, and no other's", () => {
    const path = (c: number, supply: number) => {
      const order = { order: c - 0.5 };
      return circuit([joint({ fouled: 0.1 })], [[reading(c, 4.88, { ...fine, ...order })]], {
        supply,
      });
    };
    const own = walkOf([path(0, 0), path(1, 1)]);
    const walk = { ...own, supplies: [own.supplies[0]!, own.supplies[0]!] };
    const two = (a: number, b: number, over: object = {}) => ({
      ...at(a, over),
      ...{ emf: [a, b], sourceOhms: [20, 20] },
    });
    const wide = {
      ...range,
      ...{
        emf: [range.emf[0]!, range.emf[0]!],
        sourceOhms: [range.sourceOhms[0]!, range.sourceOhms[0]!],
      },
    };
    const made = () =>
      new WalkSums(
        ...([walk, emptyShelf(1000)] as const),
        { nest: buildNest([[], []], []), display: displayOf(walk.circuits, []) },
        ...([wide, two(5, 5)] as const),
      );
    const sums = made();
    const places = [
      two(5, 5),
      two(5, 4.9),
      two(4.95, 4.9),
      two(5, 5, { drift: 0.1 }),
      two(5, 5, { noiseScale: 2 }),
      two(5, 5),
    ];
    for (const place of places) {
      const fresh = made().at(place).logLikelihood;
      expect(sums.at(place).logLikelihood).toBe(fresh);
      expect(sums.at(place, "light").logLikelihood).toBe(fresh);
    }
    expect(sums.at(places[1]!).logLikelihood).not.toBe(sums.at(places[0]!).logLikelihood);
  });
});

describe("sums over what conducts", () => {
  const path = (first: number, shown: readonly number[], over = {}) =>
    circuit(
      [joint({ fouled: 0.1, open: 0.02 }), joint({ fouled: 0.1, open: 0.02 })],
      shown.map((v, k) => [reading(first + k, v, { ...fine, noise: 0.06, halfStep: 0.02 })]),
      over,
    );
  const leak = { kind: "wet", link: 1, chance: 0.2, medianOhms: 120, logSd: 0.4 } as const;
  const leaking = (first: number) => path(first, [4.2, 4.15], { conducting: [leak] });

  test("are sparse where some circuit is seen to conduct, light where some contacts are calm", () => {
    const sound = path(2, [4.88, 4.86]);
    expect(sumsOf(walkOf([sound])).leavesOut("sparse")).toBe(false);
    expect(sumsOf(walkOf([sound])).leavesOut("light")).toBe(false);
    const both = sumsOf(walkOf([leaking(0), sound]));
    expect(both.leavesOut("sparse")).toBe(true);
    expect(both.leavesOut("light")).toBe(false);
    expect(both.leavesOut("whole")).toBe(false);
    const calm = one({ fouled: 0.1, intermittent: 0.005 }, [4.88, 4.87]).circuits[0]!;
    const mixed = sumsOf(walkOf([path(2, [4.88, 4.86]), calm]));
    expect(mixed.leavesOut("light")).toBe(true);
    expect(mixed.leavesOut("sparse")).toBe(false);
    const [bad, good] = [chances({ fouled: 0.8 }), chances({ fouled: 0.05 })];
    const patterns = [
      { chance: 0.3, states: [[bad, bad] as const] },
      { chance: 0.7, states: [[good, good] as const] },
    ];
    const tied = one({ fouled: 0.5 }, [4.5], { patterns }).circuits[0]!;
    expect(sumsOf(walkOf([path(2, [4.88, 4.86]), tied])).leavesOut("light")).toBe(true);
  });

  test("of few loops go along with the whole ones, and are not the same", () => {
    const sums = sumsOf(walkOf([leaking(0)]));
    const gaps = [5, 4.97, 5.03].map(
      (emf) => sums.at(at(emf), "sparse").logLikelihood - sums.at(at(emf)).logLikelihood,
    );
    for (const gap of gaps) {
      expect(Math.abs(gap)).toBeLessThan(0.1);
      expect(gap).not.toBe(0);
    }
    expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThan(0.02);
    // What is light leaves no loop out.
    expect(sums.at(at(5), "light").logLikelihood).toBe(sums.at(at(5)).logLikelihood);
  });

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
