import { describe, expect, test } from "vitest";
import { circuitModel, emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import { sumWays } from "../../../src/inference/circuit-evidence.ts";
import { loopFeatures } from "../../../src/inference/conducting/loop-ways.ts";
import { rangeAt, still } from "../../../src/inference/conducting/moving-loop.ts";
import { pressedPlan, pressedWays } from "../../../src/inference/conducting/pressed-ways.ts";
import {
  type CircuitProblem,
  type ConductingProblem,
  exactOhms,
  type ReadingProblem,
} from "../../../src/inference/problem.ts";
import { type CircuitDisplay, displayOf } from "../../../src/inference/zero-runs.ts";
import {
  type Leaf,
  leavesOf,
  loopShown,
  placesOf,
  seriesShown,
  shownChance,
} from "../path-leaves.ts";
import { pathSums } from "../path-sums.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * A path of which a point in front of the device was read with its switch pressed, against the sum over
 * every state, every resistance and every closed switch (`path-sums.ts`), worked out before any test.
 */
const film = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
const joints = [
  { ...link(5, chances({ fouled: 0.2, open: 0.03 })), fouled: film },
  { ...link(9, chances({ fouled: 0.3, open: 0.05, cable: 0.02 })), fouled: film },
];
const fine = { noise: 0.15, halfStep: 0.05 };
const pathOf = (
  rest: readonly (readonly number[])[],
  pressed: readonly (readonly number[])[],
  conducting: readonly ConductingProblem[] = [],
) => {
  let index = 0;
  const rows = (all: typeof rest) => all.map((row) => row.map((v) => reading(index++, v, fine)));
  return circuit(joints, rows(rest), { pressed: rows(pressed), conducting });
};
const place = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };
const summed = (path: CircuitProblem, emf = 5): number =>
  pathSums(
    ...([walkOf([path]), path, { ...place, emf }] as const),
    { chances: (k) => path.links[k]!.states[0] },
    { sound: 11, fouled: 33, closed: 41 },
  ).likelihood;

function found(path: CircuitProblem, over: Partial<typeof nuisance> = {}): number {
  const walk = walkOf([path]);
  const shelf = emptyShelf(1000);
  const range = rangeAt(nuisance);
  const loops = pressedPlan(walk, shelf, path, range, nuisance);
  const model = circuitModel(walk, path, range, shelf);
  const [display] = displayOf(walk.circuits, []).circuits;
  const there = { ...nuisance, ...over };
  const ways = pressedWays(model, loops, display!, there, [], []);
  const { logScale, values } = sumWays(ways);
  return values[0]! * Math.exp(logScale);
}

const cases = (
  [
    ["a sound path", [[4.86], [4.8]], [[1], []]],
    ["read at both", [[4.86], []], [[1.2], [0.6]]],
  ] as const
).map(([name, rest, pressed]) => {
  const path = pathOf(rest, pressed);
  return { name, path, exact: summed(path) };
});

describe("pressed in front of the device", () => {
  test.each(cases)("$name", ({ path, exact }) => {
    expect(Math.abs(found(path) / exact - 1)).toBeLessThan(0.04);
  });

  const [{ path: first }] = cases as [(typeof cases)[number]];
  test("what conducts and can't be told has its part", () => {
    const leak: ConductingProblem = {
      kind: "wet",
      link: 0,
      chance: 0.2,
      medianOhms: 300,
      logSd: 1,
    };
    const leaking = { ...first, conducting: [leak] };
    const ways = pressedWays(
      ...([
        circuitModel(walkOf([leaking]), leaking, rangeAt(nuisance), emptyShelf(1000)),
        [],
        { own: [{ chance: 1, off: [] }], sharedZeros: new Set<number>() },
        nuisance,
        [],
        [0.05],
      ] as const),
    );
    // Nothing conducts: 0.8; what is unseen adds 0.05. No loop: the way in which a contact is open.
    expect(ways).toHaveLength(1);
    expect(ways[0]!.chance).toBeCloseTo(0.85, 12);
    expect(ways[0]!.conducting[0]).toBeCloseTo(0.05 / 0.85, 12);
  });

  const lower = summed(first, 4.95);

  test("its loops follow the EMF", () => {
    expect(Math.abs(found(first, { emf: [4.95] }) / lower - 1)).toBeLessThan(0.1);
  });

  describe("at one loop through the switch", () => {
    const shaky = [
      { ...link(5, chances({ fouled: 0.2, open: 0.03, intermittent: 0.1 })), fouled: film },
      { ...link(9, chances({ fouled: 0.3, cable: 0.02, intermittent: 0.05 })), fouled: film },
    ];
    const rows = [[4.5], [4.3]].map((row, k) => row.map((v) => reading(k, v, fine)));
    const pressed = [[reading(2, 1.3, { ...fine, meter: 1 })], [reading(3, 0.7, fine)]];
    const own = { ...place, loads: [1000, 800] };
    const at = { ...nuisance, loadOhms: [1000, 800] };
    const LOOP = 100;
    const badPlaces = placesOf([{ share: 1, medianOhms: 20, logSd: 0.3 }], 15);
    /** Equation (9), the loop as it is; behind an open contact the same as at rest. */
    function likelihood(
      { upTo, shaky: comes }: Pick<Leaf, "upTo" | "shaky">,
      off: readonly number[],
    ): number {
      const isOpen = upTo[1] === Number.POSITIVE_INFINITY;
      const chanceOf = (one: ReadingProblem, k: number, isPressed: boolean): number => {
        const at = (more: number): number => {
          const series = upTo[k]! + more;
          if (!isPressed || isOpen) return shownChance(one, seriesShown(own, one, series), 1);
          const volts = series + 20 < LOOP ? loopShown(own, one, LOOP, series, null) : 0;
          return shownChance(one, volts, 1);
        };
        if (!comes[k] || upTo[k] === Number.POSITIVE_INFINITY) return at(0);
        const mean = badPlaces.reduce((sum, { ohms, weight }) => sum + weight * at(ohms), 0);
        return 0.7 * at(0) + 0.3 * (0.7 * mean + 0.3 * shownChance(one, 0, 1));
      };
      return [rows, pressed].reduce(
        (product, all, which) =>
          all.reduce(
            (some, row, k) =>
              row
                .filter(({ index }) => !off.includes(index))
                .reduce((p, one) => p * chanceOf(one, k, which === 1), some),
            product,
          ),
        1,
      );
    }
    const densityAt = (r: number, medianOhms: number): number => {
      const z = Math.log(r / medianOhms) / 0.5;
      return Math.exp(-0.5 * z * z) / (0.5 * r * Math.sqrt(2 * Math.PI));
    };
    /** Per ohm of the loop: the second contact is what the first and the switch leave of it. */
    function byLeaves(links: typeof shaky, off: readonly number[]) {
      const path = circuit(links, rows, { pressed });
      const [first, second] = links;
      const sums = { closed: 0, open: 0 };
      for (const leaf of leavesOf(path, (k) => links[k]!.states[0], { sound: 9, fouled: 25 })) {
        if (leaf.upTo[1] !== Number.POSITIVE_INFINITY) continue;
        sums.open += leaf.weight * likelihood(leaf, off);
      }
      const switches = placesOf([{ share: 1, medianOhms: 2, logSd: 1 }], 201);
      const front = circuit([first!], [[]]);
      for (const leaf of leavesOf(front, () => first!.states[0], { sound: 21, fouled: 61 })) {
        const [one, comes] = [leaf.upTo[0]!, leaf.shaky[0]!];
        const { sound, fouled, intermittent } = second!.states[0];
        for (const { ohms, weight } of switches) {
          const r = LOOP - 20 - one - 9 - ohms;
          if (!(r > 0)) continue;
          const upTo = [one, one + 9 + r];
          for (const [p, median, isShaky] of [
            [sound + (comes ? intermittent : 0), 4, comes],
            [fouled, 80, comes],
            [comes ? 0 : intermittent, 4, true],
          ] as const) {
            if (p === 0) continue;
            const likely = likelihood({ upTo, shaky: [comes, isShaky] }, off);
            sums.closed += leaf.weight * weight * p * densityAt(r, median) * likely;
          }
        }
      }
      return sums;
    }
    const steady = shaky.map((one) => ({ ...one, states: joints[0]!.states }));
    const OFF = [[], [2], [1, 2], [1, 3]] as const;
    const walks = [
      { name: "contacts that stay", links: steady, exact: OFF.map((off) => byLeaves(steady, off)) },
      { name: "contacts that come and go", links: shaky, exact: [byLeaves(shaky, [])] },
    ];

    test.each(walks)("$name, by what displays were off", ({ links, exact }) => {
      const path = circuit(links, rows, { pressed });
      const walk = {
        ...walkOf([path], { loads: [exactOhms(1000), exactOhms(800)] }),
        badMoments: { fouled: 0.7, law: [{ share: 1, medianOhms: 20, logSd: 0.3 }] },
      };
      const shelf = emptyShelf(1000);
      const range = rangeAt(at);
      const switched = { link: 1, medianOhms: 2, logSd: 1 };
      const read = { ...path, readings: pressed };
      const looped = loopFeatures(read, switched, 1000, range, at, still(LOOP));
      const laid = circuitModel(walk, path, range, shelf, looped);
      const model = circuitModel(walk, path, range, shelf);
      const loop = {
        loop: () => ({ ohms: LOOP, perOhm: 0.5 }),
        logWidth: Math.log(3),
        model: laid,
      };
      const asked = (display: CircuitDisplay["own"], off: readonly number[]) => {
        const shown = { own: display, sharedZeros: new Set<number>() };
        const ways = pressedWays(model, [loop], shown, at, off, []);
        const { logScale, values } = sumWays(ways);
        return { ways, sum: values[0]! * Math.exp(logScale) };
      };
      const sumOf = ({ open, closed }: { open: number; closed: number }) => open + 1.5 * closed;
      const isNear = (found: number, expected: number) =>
        expect(Math.abs(found / expected - 1)).toBeLessThan(0.03);
      const [all, second, both, others] = exact;
      const plain = asked([{ chance: 1, off: [] }], []);
      const [open, closed] = plain.ways.map(
        ({ messages }) => messages.likelihood[0]! * Math.exp(messages.logScale),
      );
      isNear(open!, all!.open);
      isNear(closed!, all!.closed);
      isNear(plain.sum, sumOf(all!));
      expect(plain.ways.map(({ off }) => off)).toEqual([[], []]);
      if (second === undefined) return;
      const mixed = asked(
        [
          { chance: 0.6, off: [] },
          { chance: 0.4, off: [1] },
        ],
        [2],
      );
      isNear(mixed.sum, 0.6 * sumOf(second) + 0.4 * sumOf(both!));
      expect(mixed.ways.map(({ off }) => off)).toEqual([[2], [2], [1, 2], [1, 2]]);
      isNear(asked([{ chance: 1, off: [3] }], [1]).sum, sumOf(others!));
    });
  });
});
