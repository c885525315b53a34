import { describe, expect, test } from "vitest";
import { circuitModel, emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import { sumWays } from "../../../src/inference/circuit-evidence.ts";
import { modelBehind } from "../../../src/inference/conducting/behind-leak.ts";
import {
  cutWay,
  laidLoop,
  loopFeatures,
  loopModel,
  loopWay,
} from "../../../src/inference/conducting/loop-ways.ts";
import { rangeAt, still } from "../../../src/inference/conducting/moving-loop.ts";
import {
  conductingPlan,
  conductingWays,
  configurationChances,
} from "../../../src/inference/conducting/plan.ts";
import type { CircuitProblem, ConductingProblem } from "../../../src/inference/problem.ts";
import { displayOf } from "../../../src/inference/zero-runs.ts";
import {
  leavesOf,
  loopShown,
  placesOf,
  type SharedPlace,
  seriesShown,
  shownChance,
} from "../path-leaves.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * One loop D through what conducts: the likelihood per ohm of D, against the sum over every state and
 * resistance of the path (`path-leaves.ts`), the law of what conducts taken at D less all in front of it.
 */
const film = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
const joints = [
  { ...link(5, chances({ fouled: 0.2, open: 0.03 })), fouled: film },
  { ...link(9, chances({ fouled: 0.3, open: 0.01, cable: 0.02 })), fouled: film },
];
const leak = (at: number): ConductingProblem => ({
  ...{ kind: "wet", link: at, chance: 0.1, medianOhms: 300, logSd: 0.8 },
});
const place: SharedPlace = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };
const range = rangeAt(nuisance);
const fineness = { sound: 25, fouled: 161 };
const quiet = { noise: 0.05, halfStep: 0.01 };
const pathOf = (rows: readonly (readonly number[])[], over: Partial<CircuitProblem> = {}) => {
  let index = 0;
  return circuit(
    joints,
    rows.map((row) => row.map((v) => reading(index++, v, quiet))),
    over,
  );
};
const lawAt = (ohms: number, { medianOhms, logSd }: ConductingProblem): number => {
  const z = Math.log(ohms / medianOhms) / logSd;
  return Math.exp(-0.5 * z * z) / (logSd * ohms * Math.sqrt(2 * Math.PI));
};

/** Per ohm of D; behind the leak the path goes on from what it leaves. */
function byLeaves(
  path: CircuitProblem,
  one: ConductingProblem,
  loop: number,
  pressedAt: (before: number, rd: number) => number = () => 1,
  { sound, fouled } = fineness,
): number {
  let sum = 0;
  for (const leaf of leavesOf(path, (k) => path.links[k]!.states[0], { sound, fouled })) {
    const joint = leaf.upTo[one.link]!;
    const rd = loop - 20 - joint;
    if (!(rd > 0) || joint === Number.POSITIVE_INFINITY) continue;
    const likely = path.readings.reduce(
      (p, row, k) =>
        row.reduce((q, own) => {
          const series = leaf.upTo[k]!;
          const volts =
            series === Number.POSITIVE_INFINITY
              ? 0
              : loopShown(place, own, loop, series, k > one.link ? joint : null);
          return q * shownChance(own, volts, 1);
        }, p),
      leaf.weight,
    );
    sum += likely * lawAt(rd, one) * pressedAt(20 + joint, rd);
  }
  return sum;
}
function found(path: CircuitProblem, one: ConductingProblem, loop: number): number {
  const walk = walkOf([path]);
  const shelf = emptyShelf(1000);
  const looped = loopFeatures(path, one, 1000, range, nuisance, still(loop));
  const model = loopModel(walk, shelf, path, range, looped);
  const behind = modelBehind(walk, shelf, path, one.link, range, nuisance);
  const { likelihood, logScale } = loopWay(model, one, behind, nuisance, [], loop).messages;
  return likelihood[0]! * Math.exp(logScale);
}

/** Worked out once, before any test: it is the same whatever the program says. */
const loops = (
  [
    ["at the path's end", 1, [[4.1], [3.9]], 500],
    ["at the path's end, read in front alone", 1, [[4.3], []], 600],
    ["a small one", 1, [[3.3], [2.6]], 90],
    ["in front of a contact that nobody read", 0, [[4], []], 500],
    ["read behind too", 0, [[4], [3.7]], 500],
    ["read behind alone", 0, [[], [3.6]], 300],
    ["where an open contact behind explains a zero", 0, [[4], [0]], 500],
    ["that is shorter than what is read says", 1, [[4.6], [4.55]], 200],
  ] as const
).map(([name, at, rows, loop]) => {
  const path = pathOf(rows);
  return { name, at, path, loop, exact: byLeaves(path, leak(at), loop) };
});

describe("per ohm of the loop", () => {
  test.each(loops)("$name", ({ at, path, loop, exact }) => {
    expect(Math.abs(found(path, leak(at), loop) / exact - 1)).toBeLessThan(0.02);
  });

  test("a contact that is open in front leaves a path on which nothing conducts", () => {
    for (const [at, rows] of [
      [0, [[0], [0]]],
      [1, [[4.8], [0]]],
    ] as const) {
      const path = pathOf(rows);
      const model = circuitModel(walkOf([path]), path, range, emptyShelf(1000));
      const { likelihood, logScale } = cutWay(model, leak(at), nuisance, []).messages;
      // Behind what conducts nothing is fed: whatever these contacts are, they show nothing.
      let exact = 0;
      for (const leaf of leavesOf(path, (k) => joints[k]!.states[0], { sound: 9, fouled: 31 })) {
        if (leaf.upTo[at] !== Number.POSITIVE_INFINITY) continue;
        exact += path.readings.reduce(
          (p, row, k) =>
            row.reduce(
              (q, own) => q * shownChance(own, seriesShown(place, own, leaf.upTo[k]!), 1),
              p,
            ),
          leaf.weight,
        );
      }
      expect(Math.abs((likelihood[0]! * Math.exp(logScale)) / exact - 1)).toBeLessThan(0.01);
    }
  });

  test("a reading whose display was off has no part, in a loop nor where a contact is open", () => {
    const [path, less] = [pathOf([[4.1, 2], [3.9]]), pathOf([[4.1], [3.9]])];
    // Of the three the second, number 1, is left out: numbers 0 and 2 stay.
    const walk = walkOf([path]);
    const shelf = emptyShelf(1000);
    const own = (off: readonly number[]) => {
      const looped = loopFeatures(path, leak(1), 1000, range, nuisance, still(500));
      const model = loopModel(walk, shelf, path, range, looped);
      return loopWay(model, leak(1), null, nuisance, off, 500).messages;
    };
    const likely = ({ likelihood, logScale }: ReturnType<typeof own>) =>
      likelihood[0]! * Math.exp(logScale);
    expect(likely(own([1])) / found(less, leak(1), 500)).toBeCloseTo(1, 2);
    expect(likely(own([]))).toBeLessThan(0.1 * likely(own([1])));
    const cut = (of: CircuitProblem, off: readonly number[]) => {
      const model = circuitModel(walkOf([of]), of, range, emptyShelf(1000));
      return likely(cutWay(model, leak(1), nuisance, off).messages);
    };
    expect(cut(path, [1]) / cut(less, [])).toBeCloseTo(1, 3);
    expect(cut(path, [])).toBeLessThan(0.1 * cut(path, [1]));
  });

  test("what lies behind it goes on from its own source, at the loop's own resistances", () => {
    const path = pathOf([[4], [3.7]]);
    const walk = walkOf([path]);
    const shelf = emptyShelf(1000);
    const at = (one: ConductingProblem) => {
      const looped = loopFeatures(path, one, 1000, range, nuisance, still(500));
      const model = loopModel(walk, shelf, path, range, looped);
      const behind = modelBehind(walk, shelf, path, one.link, range, nuisance);
      return { behind, way: loopWay(model, one, behind, nuisance, [], 500) };
    };
    const first = at(leak(0));
    // 20 ohm of source and 5 of copper.
    expect(first.way.beyond).toMatchObject({ base: 25, loop: 500 });
    expect(first.way.beyond!.behind.model).toBe(first.behind);
    expect(first.way.last).toBe(0);
    expect(at(leak(1)).way.beyond).toBeUndefined();
  });

  describe("a device that was pressed while it conducts", () => {
    const pressed = [[], [reading(7, 0.6, quiet), reading(8, 0.7, quiet)]];
    const path = pathOf([[4.1], [3.9]], { pressed });
    const switches = placesOf([{ share: 1, medianOhms: 2, logSd: 1 }], 81);
    /** P(what was pressed | Rs + S, what conducts), its switch beside that. */
    const pressedAt = (before: number, rd: number) =>
      switches.reduce((sum, { ohms, weight }) => {
        const across = 1 / (1 / 1000 + 1 / rd + 1 / ohms);
        const volts = (5 * across) / (before + across);
        return sum + weight * pressed[1]!.reduce((p, own) => p * shownChance(own, volts, 1), 1);
      }, 0);
    const exact = byLeaves(path, leak(1), 500, pressedAt, { sound: 11, fouled: 61 });

    test("its switch stands beside what conducts", () => {
      expect(Math.abs(found(path, leak(1), 500) / exact - 1)).toBeLessThan(0.03);
    });
  });

  test("a loop that moves is laid as it moves, unless that takes too wide a mesh", () => {
    const moving = () => ({ ohms: 500, perOhm: 1 });
    const laid = (widths: number) =>
      laidLoop(
        moving,
        400,
        (loop) => ({
          features: [{ low: 0, high: loop === moving ? widths * 0.001 : 0.1, width: 0.001 }],
          most: 1,
        }),
        ({ features }) => features as never,
      );
    expect(laid(249).loop).toBe(moving);
    expect(laid(251).loop(nuisance)).toEqual({ ohms: 400, perOhm: 1 });
    expect(laid(251).model).toEqual([{ low: 0, high: 0.1, width: 0.001 }]);
  });
});

describe("a plan for what may conduct", () => {
  const planned = (path: CircuitProblem) => {
    const walk = walkOf([path]);
    const shelf = emptyShelf(1000);
    const plan = conductingPlan(walk, shelf, path, range, nuisance);
    return { walk, shelf, plan };
  };
  /** P(the readings | it conducts), over every loop. */
  const integral = (path: CircuitProblem, one: ConductingProblem, emf = 5): number => {
    const [steps, there] = [80, { ...place, emf }];
    const leaves = leavesOf(path, (k) => path.links[k]!.states[0], { sound: 7, fouled: 41 });
    let sum = 0;
    for (let i = 0; i <= steps; i++) {
      const z = -4 + (8 * i) / steps;
      const rd = one.medianOhms * Math.exp(one.logSd * z);
      const weight = ((8 / steps) * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI);
      for (const leaf of leaves) {
        const joint = leaf.upTo[one.link]!;
        const isOpen = joint === Number.POSITIVE_INFINITY;
        sum += path.readings.reduce(
          (p, row, k) =>
            row.reduce((q, own) => {
              const series = leaf.upTo[k]!;
              const behind = k > one.link ? joint : null;
              const volts =
                isOpen || series === Number.POSITIVE_INFINITY
                  ? seriesShown(there, own, series)
                  : loopShown(there, own, 20 + joint + rd, series, behind);
              return q * shownChance(own, volts, 1);
            }, p),
          leaf.weight * weight,
        );
      }
    }
    return sum;
  };

  const likely = pathOf([[4.1], [3.9]], { conducting: [leak(1)] });
  const exact = 0.1 * integral(likely, leak(1));

  test("what readings make likely is summed at its loops, and cut where a contact is open", () => {
    const path = likely;
    const { walk, shelf, plan } = planned(path);
    expect(plan.unseen).toEqual([0]);
    expect(plan.seen).toHaveLength(1);
    const model = circuitModel(walk, path, range, shelf);
    const [display] = displayOf(walk.circuits, []).circuits;
    const ways = conductingWays(model, plan, display!, nuisance, []);
    const { logScale, values } = sumWays(ways);
    expect(Math.abs((values[0]! * Math.exp(logScale)) / exact - 1)).toBeLessThan(0.03);
    for (const way of ways) expect(way.conducting).toEqual([1]);
  });

  const lower = 0.1 * integral(likely, leak(1), 4.98);

  test("its loops follow the EMF", () => {
    const { walk, shelf, plan } = planned(likely);
    const model = circuitModel(walk, likely, range, shelf);
    const [display] = displayOf(walk.circuits, []).circuits;
    const there = { ...nuisance, emf: [4.98] };
    const { logScale, values } = sumWays(conductingWays(model, plan, display!, there, []));
    expect(Math.abs((values[0]! * Math.exp(logScale)) / lower - 1)).toBeLessThan(0.05);
  });

  const zero = pathOf([[4.1], [3.9, 0]], { conducting: [leak(1)] });
  const [shownZero, offZero] = [zero, likely].map((path) => 0.1 * integral(path, leak(1)));

  test("a zero that a display which was off left says nothing of it", () => {
    const run = { readings: [2], off: [0.3], stays: 0.4, followed: false };
    const walk = { ...walkOf([zero]), zeroRuns: [run] };
    const shelf = emptyShelf(1000);
    const plan = conductingPlan(walk, shelf, zero, range, nuisance);
    const model = circuitModel(walk, zero, range, shelf);
    const [display] = displayOf(walk.circuits, walk.zeroRuns).circuits;
    const ways = conductingWays(model, plan, display!, nuisance, []);
    const { logScale, values } = sumWays(ways);
    const expected = 0.7 * shownZero! + 0.3 * offZero!;
    expect(Math.abs((values[0]! * Math.exp(logScale)) / expected - 1)).toBeLessThan(0.03);
    expect(new Set(ways.map(({ off }) => off.join(" ")))).toEqual(new Set(["", "2"]));
    // The same asked for by name.
    const [none] = displayOf([likely], []).circuits;
    const asked = sumWays(conductingWays(model, plan, none!, nuisance, [2]));
    const sum = asked.values[0]! * Math.exp(asked.logScale);
    expect(Math.abs(sum / offZero! - 1)).toBeLessThan(0.03);
  });

  const series = (path: CircuitProblem): number =>
    leavesOf(path, (k) => path.links[k]!.states[0], { sound: 7, fouled: 41 }).reduce(
      (sum, leaf) =>
        sum +
        path.readings.reduce(
          (p, row, k) =>
            row.reduce(
              (q, own) => q * shownChance(own, seriesShown(place, own, leaf.upTo[k]!), 1),
              p,
            ),
          leaf.weight,
        ),
      0,
    );
  const few = { ...leak(1), chance: 0.001 };
  const hardly = (
    [
      ["a zero that an open contact explains", [[4.8], [0]], 0.01],
      ["zeros throughout", [[0], [0]], 0.01],
      ["nothing at its own point", [[4.88], []], 0.1],
    ] as const
  ).map(([name, rows, within]) => {
    const path = pathOf(rows, { conducting: [few] });
    return { name, path, within, ratio: (few.chance * integral(path, few)) / series(path) };
  });

  test.each(hardly)("what is hardly told has its chance times its ratio: $name", (one) => {
    const { plan } = planned(one.path);
    expect(plan.seen).toEqual([]);
    expect(Math.abs(plan.unseen[0]! / one.ratio - 1)).toBeLessThan(one.within);
  });

  test("what they hardly tell is added to the rest by how much likelier it makes them", () => {
    // A leak of hundreds of ohm makes a full display unlikely.
    const path = pathOf([[4.88], [4.8]], { conducting: [{ ...leak(1), chance: 0.01 }] });
    const { plan } = planned(path);
    expect(plan.seen).toEqual([]);
    expect(plan.unseen).toHaveLength(1);
    expect(plan.unseen[0]).toBeLessThan(0.01);
    expect(plan.unseen[0]).toBeGreaterThan(0);
  });

  test("two of one law at one place share what they have by their chances", () => {
    const pair = [
      { ...leak(1), chance: 0.01 },
      { ...leak(1), kind: "leaking" as const, chance: 0.03 },
    ];
    const { plan } = planned(pathOf([[4.88], [4.8]], { conducting: pair }));
    expect(plan.unseen[1]! / plan.unseen[0]!).toBeCloseTo(3, 9);
  });

  test("configurations of a circuit's bodies by their chances", () => {
    const shared = [0, null, 2].map((body) => ({ ...joints[0]!, body }));
    const path = circuit(shared, [[], [], []]);
    const bodies = [{ contaminated: 0.2 }, { contaminated: 0.9 }, { contaminated: 0.3 }];
    const found = configurationChances({ ...walkOf([path]), bodies }, path);
    for (const [c, p] of [0.8 * 0.7, 0.2 * 0.7, 0.8 * 0.3, 0.2 * 0.3].entries()) {
      expect(found[c]).toBeCloseTo(p, 12);
    }
    expect([...configurationChances(walkOf([pathOf([[], []])]), pathOf([[], []]))]).toEqual([1]);
  });
});
