import { describe, expect, test } from "vitest";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import type { WeighedBranch } from "../../../src/inference/nuisance/branches.ts";
import { Looks } from "../../../src/inference/nuisance/looks.ts";
import { exactOhms } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * What a bundle may hold, case by case: branches of a source each, of which sketches say what a test has
 * them say of y, the volts shown on a path without resistance. With the prior N(5, 0.05) of an EMF behind
 * no source worth the name and a bell of 0.02 V about 4.9, y lies at (5 / 0.05^2 + 4.9 / 0.02^2) / 2900.
 */
const middle = (5 / 0.05 ** 2 + 4.9 / 0.02 ** 2) / 2900;
const sd = 1 / Math.sqrt(2900);
const path = (c: number, supply = 0) =>
  circuit([link(1, chances({}))], [[reading(c, 4.9, { noise: 0.02, halfStep: 0.005 })]], {
    supply,
  });
const supplyOf = (emfSd = 0.05) => ({ emf: 5, emfSd, sourceOhms: exactOhms(0) });
const walk = walkOf(
  [0, 1, 2, 3].map((c) => path(c)),
  {
    supplies: [supplyOf()],
    loads: [exactOhms(1e9)],
  },
);

/** Branches of these sources; the likeliest is the first, by far, unless `scores` say otherwise. */
const branchesOf = (
  sources: readonly (number | readonly number[])[],
  scores: readonly number[] = sources.map((_, i) => -30 * i),
): readonly WeighedBranch[] =>
  sources.map((ohms, i) => ({
    ...{ sourceOhms: [ohms].flat(), loadOhms: [1e9], score: scores[i]!, logWeight: i / 8 },
    stretches: { sourceOhms: [], loadOhms: [] },
  }));
type Of = (y: number, source: number) => number;
const looksOf = (of: Of, loops: ((nuisance: Nuisance) => number) | null = null) =>
  new Looks(
    walk,
    ({ emf: [e], sourceOhms: [rs] }) => -0.5 * ((e! - 4.9) / 0.02) ** 2 + of(e!, rs!),
    () => loops,
  );
/** By bundle, the numbers of its members. */
const parted = (looks: Looks, branches: readonly WeighedBranch[]) =>
  looks
    .bundles(branches)
    .map(({ members }) => members.map(({ branch }) => branches.indexOf(branch)));

describe("a second branch is in the first one's bundle", () => {
  const isIn = (of: Of) => {
    const found = parted(
      looksOf((y, source) => (source > 50.5 ? of(y, source) : 0)),
      branchesOf([50, 51]),
    );
    expect(found.flat().toSorted()).toEqual([0, 1]);
    return found.length === 1;
  };
  const z = (y: number) => (y - middle) / sd;

  test("where its likelihood bends by under 0.1, up or down, 1.2 deviations to either side", () => {
    // -c z^2 at +-1.2: 2.88 c in all.
    for (const sign of [-1, 1]) {
      expect(isIn((y) => sign * 0.034 * z(y) ** 2)).toBe(true);
      expect(isIn((y) => sign * 0.036 * z(y) ** 2)).toBe(false);
    }
  });

  test("where it tilts by under 0.7 from one side to the other", () => {
    for (const sign of [-1, 1]) {
      expect(isIn((y) => sign * 0.28 * z(y))).toBe(true);
      expect(isIn((y) => sign * 0.3 * z(y))).toBe(false);
    }
  });

  test("where it is as likely, but for a factor under e", () => {
    for (const sign of [-1, 1]) {
      expect(isIn(() => sign * 0.95)).toBe(true);
      expect(isIn(() => sign * 1.05)).toBe(false);
    }
  });
});

describe("where loops tell sources", () => {
  const flat: Of = () => 0;
  const count = (sources: readonly (readonly number[])[], gains: readonly number[]) => {
    const gainOf = ({ sourceOhms }: Nuisance) =>
      gains[sources.findIndex((own) => own.every((x, s) => x === sourceOhms[s]))]!;
    const two = walkOf([path(0), path(1), path(2, 1), path(3, 1)], {
      supplies: [supplyOf(), supplyOf(0)],
      loads: [exactOhms(1e9)],
    });
    const looks = new Looks(
      two,
      ({ emf: [e] }) => -0.5 * ((e! - 4.9) / 0.02) ** 2,
      () => gainOf,
    );
    for (const own of branchesOf(sources)) looks.score(own);
    return parted(looks, branchesOf(sources)).length;
  };

  test("they are together while 3 ohm and theirs are within a quarter, in ln, at each supply", () => {
    const even = [0, 0];
    // 13 to 16.5 ohm is 0.238; to 17, 0.268.
    for (const [near, far] of [
      [
        [13.5, 10],
        [14, 10],
      ],
      [
        [10, 13.5],
        [10, 14],
      ],
    ] as const) {
      expect(count([[10, 10], near], even)).toBe(1);
      expect(count([[10, 10], far], even)).toBe(2);
      expect(count([far, [10, 10]], even)).toBe(2);
    }
  });

  test("and while loops speak of one as of the other, within 4, in ln", () => {
    const sources = [
      [10, 10],
      [11, 10],
    ] as const;
    expect(count(sources, [0, 3.9])).toBe(1);
    expect(count(sources, [3.9, 0])).toBe(1);
    expect(count(sources, [0, 4.1])).toBe(2);
    expect(count(sources, [4.1, 0])).toBe(2);
    // 7 of both is the same of both.
    expect(count(sources, [7, 7])).toBe(1);
  });

  test("each member's weight has what loops say of it more than of the first", () => {
    let asked = 0;
    const looks = looksOf(flat, ({ sourceOhms: [rs] }) => {
      asked += 1;
      return rs! / 10;
    });
    const branches = branchesOf([20, 21, 22]);
    for (const one of branches) looks.score(one);
    expect(asked).toBe(3);
    const [{ branch, members }] = looks.bundles(branches) as [ReturnType<Looks["bundles"]>[number]];
    expect(asked).toBe(3);
    expect(branch).toBe(branches[0]);
    expect(members.map(({ logWeight }) => logWeight)).toEqual([
      expect.closeTo(0, 9),
      expect.closeTo(1 / 8 + 0.1, 5),
      expect.closeTo(2 / 8 + 0.2, 5),
    ]);
  });

  test("branches that nobody scored before are asked about at the top of a look", () => {
    const emfs: number[] = [];
    const looks = looksOf(flat, ({ emf: [e] }) => emfs.push(e!));
    looks.bundles(branchesOf([20, 21]));
    expect(emfs.length).toBeGreaterThan(0);
    for (const emf of emfs) expect(emf).toBeCloseTo(middle, 6);
  });
});

test("a branch alone is itself, not tilted", () => {
  const [own] = branchesOf([50]);
  const [bundle, ...rest] = looksOf(() => 0).bundles([own!]);
  expect(rest).toEqual([]);
  expect(bundle!.branch).toBe(own);
  expect(bundle!.members).toEqual([{ branch: own, logWeight: own!.logWeight, tilt: null }]);
});

test("the likeliest that is left begins a bundle, and is in it", () => {
  const even = looksOf(() => 0);
  const loads = [1e9, 1.5e9, 2.5e9];
  const apart = branchesOf([50, 50, 50], [-7, 0, -3]).map((one, i) => ({
    ...one,
    loadOhms: [loads[i]!],
  }));
  expect(parted(even, apart)).toEqual([[1], [2], [0]]);
  // The mean of both is like the second, not like the first, which is by itself then.
  const bent: Of = (_, source) => (source < 50.2 ? 2 : 0);
  expect(parted(looksOf(bent), branchesOf([50, 51], [0.1, 0]))).toEqual([[0], [1]]);
});

test("over 64 bundles are too many: then branches further apart are bundled", () => {
  // Loops 0.1 apart, in ln: 0.08 is the narrowest, then 0.25, which takes two on either side.
  const chain = (count: number) =>
    branchesOf(
      Array.from({ length: count }, () => 0),
      Array.from({ length: count }, (_, i) => -i),
    ).map((one, i) => ({ ...one, loadOhms: [1e4 * Math.exp(0.1 * i)] }));
  const looks = looksOf(() => 0);
  expect(parted(looks, chain(64))).toHaveLength(64);
  const found = parted(looks, chain(66));
  expect(found).toHaveLength(22);
  expect(found[1]).toEqual([3, 4, 5]);
});
