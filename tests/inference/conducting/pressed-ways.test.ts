import { describe, expect, test } from "vitest";
import { circuitModel, emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import { sumWays } from "../../../src/inference/circuit-evidence.ts";
import { rangeAt } from "../../../src/inference/conducting/moving-loop.ts";
import { pressedPlan, pressedWays } from "../../../src/inference/conducting/pressed-ways.ts";
import type { CircuitProblem, ConductingProblem } from "../../../src/inference/problem.ts";
import { displayOf } from "../../../src/inference/zero-runs.ts";
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
});
