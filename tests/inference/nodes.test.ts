import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../../src/inference/chain/features.ts";
import { infer } from "../../src/inference/infer.ts";
import { buildNest, nestOf } from "../../src/inference/nest/nest.ts";
import { type InferredNode, posteriorOf } from "../../src/inference/posterior.ts";
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

describe("what is said of several nodes", () => {
  const shownBy = (count: number) =>
    [
      [4.88, 4.6],
      [4.89, 4.86],
      [4.87, 4.2],
      [4.9, 4.87],
      [4.88, 4.85],
    ].slice(0, count);
  const walkWith = (count: number): WalkProblem => ({
    ...walkOf(
      shownBy(count).map(([a, b], c) =>
        circuit(
          [joint({ fouled: 0.05, open: 0.01 }, 0), joint({ fouled: 0.3, open: 0.03 })],
          [[reading(2 * c, a!, fine)], [reading(2 * c + 1, b!, fine)]],
        ),
      ),
    ),
    bodies: [{ contaminated: 0.2 }],
  });
  const nodesOf = (
    walk: WalkProblem,
    parts: readonly (readonly [emf: number, weight: number, alone: number])[],
  ): readonly InferredNode[] => {
    const sums = sumsOf(walk);
    return parts.map(([emf, weight, alone]) => {
      const nuisance = at(emf);
      return { nuisance, weight, alone, walk: sums.at(nuisance) };
    });
  };
  /** A star's centre stands for all where one has to; its weight beside the others is less. */
  const star = [
    [5, 0.4, 1],
    [4.95, 0.35, 0],
    [5.06, 0.25, 0],
  ] as const;

  test.each([3, 5])(
    "chances are their mean by weight, resistances the centre's (%d circuits)",
    (count) => {
      const walk = walkWith(count);
      const nodes = nodesOf(walk, star);
      const said = posteriorOf(walk, nodes);
      const each = star.map(([emf]) => posteriorOf(walk, nodesOf(walk, [[emf, 1, 1]])));
      const mean = (of: (one: (typeof each)[number]) => number): number =>
        star.reduce((sum, [, weight], i) => sum + weight * of(each[i]!), 0);
      const centre = each[0]!;
      /** Where nothing is likelier than 2 % at the centre, it says all. */
      const quiet = centre.circuits.map(
        ({ states, underLimit }) =>
          Math.max(underLimit!, ...states.map(([, f, o, cable]) => f! + o! + cable!)) < 0.02,
      );
      expect(new Set(quiet).size).toBe(2);
      for (const [c, own] of said.circuits.entries()) {
        expect(own.ohms).toEqual(centre.circuits[c]!.ohms);
        const told = (of: (one: (typeof each)[number]["circuits"][number]) => number): number =>
          quiet[c] ? of(centre.circuits[c]!) : mean(({ circuits }) => of(circuits[c]!));
        expect(own.underLimit).toBeCloseTo(
          told(({ underLimit }) => underLimit!),
          6,
        );
        for (const [k, states] of own.states.entries()) {
          for (const [x, p] of states.entries()) {
            expect(p).toBeCloseTo(
              told((one) => one.states[k]![x]!),
              6,
            );
          }
          const volts = (one: typeof own): number => one.voltsLost[k]!;
          const lost = count < 4 ? told(volts) : volts(centre.circuits[c]!);
          expect(own.voltsLost[k]).toBeCloseTo(lost, 6);
        }
      }
      // Of few circuits readings are told by all nodes, of many by the centre.
      const misread = (one: (typeof each)[number]) => one.readings.get(1)!.expected.below;
      if (count >= 4) expect(misread(said)).toBeCloseTo(misread(each[0]!), 9);
      else expect(misread(said)).not.toBeCloseTo(misread(each[0]!), 6);
      const body = (one: (typeof each)[number]) => one.bodyAtFault.get(0)!;
      expect(body(said)).toBeCloseTo(body(centre) < 0.02 ? body(centre) : mean(body), 9);
    },
  );

  test("what they say by themselves is the centre's where there are many", () => {
    const walk = walkWith(5);
    const own = posteriorOf(walk, nodesOf(walk, star), "readings");
    const centre = posteriorOf(walk, nodesOf(walk, [[5, 1, 1]]), "readings");
    expect(own.circuits.map(({ states }) => states)).toEqual(
      centre.circuits.map(({ states }) => states),
    );
    expect(own.readings).toEqual(centre.readings);
    expect(own.bodyAtFault.size).toBe(0);
  });

  test("nodes that stand for themselves have their parts of resistances too", () => {
    const walk = walkWith(2);
    const parts = [
      [5, 0.6, 0.6],
      [4.95, 0.4, 0.4],
    ] as const;
    const said = posteriorOf(walk, nodesOf(walk, parts));
    const each = parts.map(([emf]) => posteriorOf(walk, nodesOf(walk, [[emf, 1, 1]])));
    const median = (one: (typeof each)[number]) => one.circuits[0]!.ohms[1]!.median;
    const [a, b] = each.map(median).sort((x, y) => x - y);
    expect(median(said)).toBeGreaterThan(a!);
    expect(median(said)).toBeLessThan(b!);
    const pinned = (one: (typeof each)[number]) => one.circuits[0]!.pinned.sound;
    expect(pinned(said)).toBeCloseTo(0.6 * pinned(each[0]!) + 0.4 * pinned(each[1]!), 9);
    // A node that is next to nothing leaves no trace.
    const more = posteriorOf(walk, nodesOf(walk, [...parts, [5.1, 1e-7, 1e-7]]));
    expect(median(more)).toBe(median(said));
  });

  test("a body that may be at fault is told by all nodes, one that hardly may by the centre", () => {
    const shared = (shown: readonly (readonly [number, number])[]): WalkProblem => ({
      ...walkOf([
        ...shown.map(([a, b], c) =>
          circuit(
            [joint({ fouled: 0.05, open: 0.01 }, 0), joint({ fouled: 0.1 })],
            [[reading(2 * c, a, fine)], [reading(2 * c + 1, b, fine)]],
          ),
        ),
        // Another path that does not pass it.
        circuit([joint({ fouled: 0.1 })], [[reading(9, 4.87, fine)]]),
      ]),
      bodies: [{ contaminated: 0.2 }],
    });
    const told = (walk: WalkProblem, parts: Parameters<typeof nodesOf>[1]) =>
      posteriorOf(walk, nodesOf(walk, parts)).bodyAtFault.get(0)!;
    const each = (walk: WalkProblem) => star.map(([emf]) => told(walk, [[emf, 1, 1]]));
    const faulty = shared([
      [4.81, 4.8],
      [4.83, 4.82],
    ]);
    const [centre, ...others] = each(faulty);
    expect(centre).toBeGreaterThan(0.03);
    expect(Math.max(...others)).toBeGreaterThan(centre! + 0.01);
    const mean = star.reduce((sum, [, weight], i) => sum + weight * [centre!, ...others][i]!, 0);
    expect(told(faulty, star)).toBeCloseTo(mean, 9);
    const good = shared([
      [4.9, 4.89],
      [4.91, 4.9],
      [4.9, 4.9],
    ]);
    const [quiet, ...rest] = each(good);
    expect(quiet).toBeLessThan(0.02);
    expect(Math.max(...rest)).toBeGreaterThan(quiet! + 0.001);
    expect(told(good, star)).toBeCloseTo(quiet!, 9);
  });

  test("resistances are told by the likeliest nodes, up to all but a thousandth, 32 at most", () => {
    const walk = walkOf([circuit([joint({ fouled: 0.3 })], [[reading(0, 4.6, fine)]])]);
    const ohms = (parts: Parameters<typeof nodesOf>[1]) =>
      posteriorOf(walk, nodesOf(walk, parts)).circuits[0]!.ohms[0]!;
    const two = [
      [4.95, 0.3995, 0.3995],
      [5, 0.6, 0.6],
    ] as const;
    const slight = [5.2, 0.0005, 0.0005] as const;
    expect(ohms([slight, ...two])).toEqual(ohms(two));
    const less = [
      [4.95, 0.395, 0.395],
      [5, 0.6, 0.6],
    ] as const;
    const more = [5.2, 0.005, 0.005] as const;
    expect(ohms([more, ...less]).high).toBeGreaterThan(ohms(less).high + 0.01);
    const many = (count: number) =>
      Array.from({ length: count }, (_, i) => {
        const alone = i < 32 ? 0.026 : 0.01;
        return [i < 32 ? 5 + 0.001 * (i % 4) : 5.2, alone, alone] as const;
      });
    expect(ohms(many(40))).toEqual(ohms(many(32)));
    expect(ohms([...many(40)].reverse()).high).toBeCloseTo(ohms(many(32)).high, 9);
  });

  test("zeros that a display which was off may have left are expected as such", () => {
    const walk = walkOf([
      circuit([joint({ fouled: 0.3, open: 0.2 })], [[reading(0, 0, fine), reading(1, 0, fine)]]),
    ]);
    const nodes = nodesOf(walk, [[5, 1, 1]]);
    const run = { readings: [0, 1], off: [0.1, 0.2], stays: 0.5, followed: true };
    const [bare, off] = [walk, { ...walk, zeroRuns: [run] }].map(
      (own) => posteriorOf(own, nodes).readings,
    );
    // 0.1, then 0.2 + 0.5 x 0.1 of what went off before: of the others it stays what it was.
    for (const [index, blank] of [0.1, 0.25].entries()) {
      const { below, same } = bare!.get(index)!.expected;
      expect(below).toBe(0);
      expect(off!.get(index)!.expected.same).toBeCloseTo((1 - blank) * same + blank, 12);
    }
    const surely = { ...run, off: [0.9, 0.8] };
    const sure = posteriorOf({ ...walk, zeroRuns: [surely] }, nodes).readings;
    expect(sure.get(1)!.expected.same).toBeCloseTo(1, 12);
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
