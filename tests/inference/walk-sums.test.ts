import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../../src/inference/chain/features.ts";
import { nestOf } from "../../src/inference/nest/nest.ts";
import type { LinkProblem, WalkProblem } from "../../src/inference/problem.ts";
import type { WalkNode } from "../../src/inference/walk-node.ts";
import { WalkSums } from "../../src/inference/walk-sums.ts";
import { displayOf } from "../../src/inference/zero-runs.ts";
import { both, chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/**
 * What a walk's sums leave out, and what they keep of what was summed before. Meshes and kernels are on one
 * shelf, laid before any test: a test adds up what stands there.
 */
const shelf = emptyShelf(1000);
const coarse = { noise: 0.1, halfStep: 0.05, tails: 0.05, slope: 0.998, floor: 1e-5 };
const film = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
type Faults = Parameters<typeof chances>[0];
const joint = (
  faults: Faults,
  body: number | null = null,
  dirty: Faults = faults,
): LinkProblem => ({
  ...link(2, chances(faults), body, chances(dirty)),
  fouled: film,
});
const at = (...emf: number[]) => ({
  ...{ emf, drift: 0, noiseScale: 1, sourceOhms: emf.map(() => 20), loadOhms: [1000] },
});
function sumsOf(walk: WalkProblem): WalkSums {
  const supplies = walk.supplies.length;
  const range: NuisanceRange = {
    emf: walk.supplies.map(() => [4.8, 5.2] as const),
    ...{ noiseScale: 0.9, loadOhms: [[1000, 1000]] },
    sourceOhms: walk.supplies.map(() => [20, 20] as const),
  };
  const places = { nest: nestOf(walk), display: displayOf(walk.circuits, walk.zeroRuns) };
  return new WalkSums(walk, shelf, places, range, at(...Array<number>(supplies).fill(5)));
}
/** A walk whose sums have been made once. */
function laid(walk: WalkProblem): WalkProblem {
  const sums = sumsOf(walk);
  for (const care of ["whole", "light", "sparse"] as const)
    sums.at(at(...walk.supplies.map(() => 5)), care);
  return walk;
}
const path = (faults: Faults, shown: readonly number[], over = {}, first = 0) =>
  circuit([joint(faults)], [shown.map((v, i) => reading(first + i, v, coarse))], over);
const one = (faults: Faults, shown: readonly number[], over = {}) =>
  laid(walkOf([path(faults, shown, over)]));
const still = one({ fouled: 0.1 }, [4.85, 4.8]);
const [stillLog] = [sumsOf(still).at(at(5)).logLikelihood];

describe("contacts that come and go", () => {
  const slight = one({ fouled: 0.1, intermittent: 0.005 }, [4.85, 4.8]);
  const often = one({ fouled: 0.1, intermittent: 0.07 }, [4.85, 4.8]);
  const shaky = one({ fouled: 0.1, intermittent: 0.05 }, [4.85, 3.9, 4.8]);

  test("count as sound in light sums where that moves hardly anything", () => {
    const sums = sumsOf(slight);
    expect(sums.leavesOut("light")).toBe(true);
    expect(sums.leavesOut("sparse")).toBe(false);
    expect(sums.leavesOut("whole")).toBe(false);
    const light = sums.at(at(5), "light").logLikelihood;
    expect(light).toBeCloseTo(stillLog, 9);
    expect(sums.at(at(5), "sparse").logLikelihood).toBe(light);
    const more = sums.at(at(5)).logLikelihood - light;
    expect(more).toBeLessThan(-0.0005);
    expect(more).toBeGreaterThan(Math.log(1 - 0.005));
  });

  test("do not where there are none, where earlier walks left many, or where readings ask for one", () => {
    for (const walk of [still, often, shaky]) {
      const sums = sumsOf(walk);
      expect(sums.leavesOut("light")).toBe(false);
      expect(sums.at(at(5), "light").logLikelihood).toBe(sums.at(at(5)).logLikelihood);
    }
  });

  const pair = (clean: number, dirty: number) =>
    laid({
      ...walkOf([
        circuit(
          [
            joint({ intermittent: clean }, 0, { intermittent: dirty }),
            joint({ intermittent: 0.04 }),
          ],
          [[], [reading(0, 4.8, coarse)]],
        ),
      ]),
      bodies: [{ contaminated: 0.1 }],
    });
  const pairs = [pair(0.04, 0), pair(0, 0.04), pair(0.01, 0.01)] as const;

  test("are many where a path's, each in its body's worse state, add to over 0.06", () => {
    expect(pairs.map((walk) => sumsOf(walk).leavesOut("light"))).toEqual([false, false, true]);
  });

  const mixed = laid(
    walkOf([
      path({ fouled: 0.1 }, [4.85]),
      path({ fouled: 0.1, intermittent: 0.005 }, [4.8], {}, 1),
    ]),
  );
  const wild = laid(walkOf([path({ fouled: 0.1, intermittent: 0.07 }, [4.85, 3.9])]));

  test("are left out circuit by circuit: one that is calm is enough", () => {
    expect(sumsOf(mixed).leavesOut("light")).toBe(true);
    expect(sumsOf(wild).leavesOut("light")).toBe(false);
  });
});

describe("contacts that hang together", () => {
  const [bad, good] = [both({ fouled: 0.8 }), both({ fouled: 0.05 })];
  const patterns = [
    { chance: 0.3, states: [bad] },
    { chance: 0.7, states: [good] },
  ];
  const tied = one({ fouled: 0.5 }, [4.5], { patterns });
  const apart = sumsOf(one({ fouled: 0.5 }, [4.5])).at(at(5)).logLikelihood;
  // 0.3 x 0.8 + 0.7 x 0.05 = 0.275 fouled.
  const mean = sumsOf(one({ fouled: 0.275 }, [4.5])).at(at(5)).logLikelihood;
  const beside = laid(walkOf([path({ fouled: 0.1 }, [4.85], {}, 1), tied.circuits[0]!]));

  test("are taken one by one in light sums", () => {
    const sums = sumsOf(tied);
    expect(sums.leavesOut("light")).toBe(true);
    expect(sums.leavesOut("sparse")).toBe(false);
    expect(sums.at(at(5), "light").logLikelihood).toBeCloseTo(apart, 9);
    expect(sums.at(at(5)).logLikelihood).toBeCloseTo(mean, 9);
    expect(sumsOf(beside).leavesOut("light")).toBe(true);
  });
});

describe("what was summed last", () => {
  const sharing = (supply: number, first: number) =>
    path({ fouled: 0.1 }, [4.85], { supply }, first);
  const bare = walkOf([sharing(0, 0), sharing(1, 1)]);
  const two = laid({ ...bare, supplies: [bare.supplies[0]!, bare.supplies[0]!] });
  const waysOf = ({ displays: [only] }: WalkNode) => only!.circuits;
  const fresh = new Map(
    [at(5, 5), at(5, 4.9), at(4.9, 4.9)].map((place) => [
      place.emf.join(" "),
      sumsOf(two).at(place).logLikelihood,
    ]),
  );

  test("is kept along one supply's EMF for the circuits of others", () => {
    const sums = sumsOf(two);
    const first = waysOf(sums.at(at(5, 5)));
    const second = waysOf(sums.at(at(5, 4.9)));
    expect(second[0]).toBe(first[0]);
    expect(second[1]).not.toBe(first[1]);
    const third = waysOf(sums.at(at(4.9, 4.9)));
    expect(third[0]).not.toBe(first[0]);
    expect(third[1]).toBe(second[1]);
    // No further back than one.
    expect(waysOf(sums.at(at(5, 5)))[0]).not.toBe(first[0]);
  });

  test("is kept by how much is summed, and is no other place's", () => {
    const sums = sumsOf(two);
    for (const place of [at(5, 5), at(5, 4.9), at(4.9, 4.9), at(5, 5)]) {
      const whole = sums.at(place);
      expect(whole.logLikelihood).toBe(fresh.get(place.emf.join(" ")));
      expect(waysOf(sums.at(place, "light"))[0]).not.toBe(waysOf(whole)[0]);
      expect(waysOf(sums.at(place))[0]).toBe(waysOf(whole)[0]);
    }
    const [own] = waysOf(sums.at(at(5, 5)));
    for (const other of [
      { ...at(5, 5), drift: 0.1 },
      { ...at(5, 5), noiseScale: 2 },
    ])
      expect(waysOf(sums.at(other))[0]).not.toBe(own);
  });

  const dead = (c: number) => path({ fouled: 0.1, open: 0.1 }, [0], {}, c);
  const run = { readings: [0, 1, 2], off: [0.1, 0.1, 0.1], stays: 0.5, followed: true };
  const off = laid({ ...walkOf([dead(0), dead(1), dead(2)]), zeroRuns: [run] });

  test("serves every explanation of zeros elsewhere", () => {
    const { displays } = sumsOf(off).at(at(5));
    // None off, or from one of three to itself or a later one: seven.
    expect(displays).toHaveLength(7);
    for (const c of [0, 1, 2]) {
      const sums = displays.map(({ circuits }) => circuits[c]!);
      expect(new Set(sums).size).toBe(2);
      for (const [i, { off: zeros }] of displays.entries()) {
        expect(sums[i]!.ways[0]!.off).toEqual(zeros.includes(c) ? [c] : []);
      }
    }
  });
});

describe("what conducts", () => {
  const leak = { kind: "wet", link: 0, chance: 0.2, medianOhms: 120, logSd: 0.4 } as const;
  const leaking = one({ fouled: 0.1 }, [4.2], { conducting: [leak] });
  const beside = laid(
    walkOf([
      path({ fouled: 0.1 }, [4.2], { conducting: [leak] }),
      path({ fouled: 0.1 }, [4.85], {}, 1),
    ]),
  );

  test("has few loops in sparse sums where some circuit is seen to conduct", () => {
    expect(sumsOf(still).leavesOut("sparse")).toBe(false);
    for (const walk of [leaking, beside]) {
      const sums = sumsOf(walk);
      expect(sums.leavesOut("sparse")).toBe(true);
      expect(sums.leavesOut("light")).toBe(false);
      expect(sums.leavesOut("whole")).toBe(false);
    }
  });

  test("is the same but for a few loops, which go along with the others", () => {
    const sums = sumsOf(leaking);
    const gaps = [5, 4.97, 5.03].map(
      (emf) => sums.at(at(emf), "sparse").logLikelihood - sums.at(at(emf)).logLikelihood,
    );
    for (const gap of gaps) {
      expect(Math.abs(gap)).toBeLessThan(0.1);
      expect(gap).not.toBe(0);
    }
    expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThan(0.02);
    expect(sums.at(at(5), "light").logLikelihood).toBe(sums.at(at(5)).logLikelihood);
  });
});
