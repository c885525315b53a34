import { describe, expect, test } from "vitest";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import { nestOf } from "../../../src/inference/nest/nest.ts";
import { branchesOf } from "../../../src/inference/nuisance/branches.ts";
import {
  type Branch,
  coordinatesOf,
  logPrior,
} from "../../../src/inference/nuisance/coordinates.ts";
import { scoreOf } from "../../../src/inference/nuisance/integrate.ts";
import { Looks, loopDistance } from "../../../src/inference/nuisance/looks.ts";
import { sourceLoops } from "../../../src/inference/nuisance/source-loops.ts";
import { walkSketch } from "../../../src/inference/nuisance/walk-sketch.ts";
import type { UncertainOhms, WalkProblem } from "../../../src/inference/problem.ts";
import { logSum } from "../../../src/numerics/log-sum.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Sketches of what a meter shows on a path of no resistance, y = E RL / (RL + Rs): a bell of width s about
 * a. With the prior N(5 q, (0.05 q)^2) of y, q = RL / (RL + Rs), a branch's posterior has the mass
 * N(a; 5 q, (0.05 q)^2 + s^2) s sqrt(2 pi).
 */
const fine = { noise: 0.02, halfStep: 0.005 };
const path = (value: number, c: number) =>
  circuit([link(1, chances({}))], [[reading(c, value, fine)]]);
const source: UncertainOhms = { exact: [{ chance: 0.5, ohms: 0 }], medianOhms: 220, logSd: 1 };
const walk: WalkProblem = walkOf([4.6, 4.6, 4.6, 4.6].map(path), {
  supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: source }],
});
const branchOf = (sourceOhms: number, loadOhms = 1000): Branch => ({
  sourceOhms: [sourceOhms],
  loadOhms: [loadOhms],
});
const shownIn = ({ emf: [e], sourceOhms: [rs], loadOhms: [rl] }: Nuisance) =>
  (e! * rl!) / (rl! + rs!);
const bell = (x: number, at: number, width: number) => -0.5 * ((x - at) / width) ** 2;
/** A bell about each of two places. */
const twoHills = (low: number, high: number, width: number) => (nuisance: Nuisance) =>
  logSum([low, high].map((at) => bell(shownIn(nuisance), at, width)));
const massOf = (rs: number, at: number, width: number, rl = 1000) => {
  const q = rl / (rl + rs);
  const variance = (0.05 * q) ** 2 + width ** 2;
  return bell(at, 5 * q, Math.sqrt(variance)) + Math.log(width) - 0.5 * Math.log(variance);
};

describe("the score of a branch", () => {
  const sources = [0, 1, 5, 20, 60, 85, 100, 150, 300];
  const scoresOf = (at: number, width: number, order = sources) => {
    const looks = new Looks(walk, (nuisance) => bell(shownIn(nuisance), at, width));
    return new Map(order.map((rs) => [rs, looks.score(branchOf(rs))]));
  };

  test("is ln of its posterior's mass, whatever was looked at before", () => {
    for (const [at, width] of [
      [4.6, 0.02],
      [4.95, 0.01],
      [4.6, 0.1],
    ] as const) {
      for (const order of [sources, sources.toReversed()]) {
        for (const [rs, score] of scoresOf(at, width, order)) {
          const [exact, best] = [rs, (1000 * (5 - at)) / at].map((ohms) => massOf(ohms, at, width));
          // What is far under the best needs no look of its own.
          if (exact! > best! - 25) expect(Math.abs(score - exact!)).toBeLessThan(0.02);
          else expect(score).toBeLessThan(best! - 20);
        }
      }
    }
  });

  test("of two hills is both of theirs", () => {
    const looks = new Looks(walk, twoHills(4.6, 4.7, 0.01));
    for (const rs of [75, 78, 70, 82]) {
      const both = Math.log(Math.exp(massOf(rs, 4.6, 0.01)) + Math.exp(massOf(rs, 4.7, 0.01)));
      expect(Math.abs(looks.score(branchOf(rs)) - both)).toBeLessThan(0.05);
    }
  });

  test("is asked of the sketches once", () => {
    let asked = 0;
    const looks = new Looks(walk, (nuisance) => {
      asked += 1;
      return bell(shownIn(nuisance), 4.6, 0.02);
    });
    const first = looks.score(branchOf(80));
    const before = asked;
    expect(looks.score(branchOf(80))).toBe(first);
    expect(asked).toBe(before);
    const look = looks.at(branchOf(80));
    expect(looks.at(branchOf(80))).toBe(look);
    expect(looks.at(branchOf(81))).not.toBe(look);
  });

  test("finds its place elsewhere where it is no longer where a look nearby was", () => {
    // A stuck switch's current tells the source by itself: at 100 ohm the hill is at another place.
    const looks = new Looks(walk, (nuisance) =>
      bell(shownIn(nuisance), nuisance.sourceOhms[0]! > 90 ? 4.55 : 4.65, 0.005),
    );
    expect(Math.abs(looks.score(branchOf(80)) - massOf(80, 4.65, 0.005))).toBeLessThan(0.02);
    expect(Math.abs(looks.score(branchOf(100)) - massOf(100, 4.55, 0.005))).toBeLessThan(0.05);
  });

  test("of a walk whose numbers are all known is what the sketches say", () => {
    const known = { ...walk, supplies: [{ ...walk.supplies[0]!, emfSd: 0 }] };
    const looks = new Looks(known, ({ sourceOhms: [rs] }) => -rs! / 100);
    for (const rs of [0, 100, 700]) expect(looks.score(branchOf(rs))).toBeCloseTo(-rs / 100, 12);
  });
});

describe("a bundle of branches", () => {
  const at = 4.6;
  const width = 0.03;
  const sketch = (nuisance: Nuisance) => bell(shownIn(nuisance), at, width);
  const looks = () => new Looks(walk, sketch);
  const bundled = () => {
    const own = looks();
    const branches = branchesOf(walk, (branch) => own.score(branch));
    return { branches, bundles: own.bundles(branches) };
  };

  test("has each branch once, fewer bundles than branches", () => {
    const { branches, bundles } = bundled();
    const members = bundles.flatMap((bundle) => bundle.members.map(({ branch }) => branch));
    expect(members).toHaveLength(branches.length);
    expect(new Set(members)).toEqual(new Set(branches));
    expect(bundles.length).toBeLessThan(branches.length / 2);
  });

  test("stands for their likelihoods, each with what it gains or loses along y", () => {
    // L of every branch is the same function of y here; only its prior differs, which the bundle keeps.
    for (const { branch, members } of bundled().bundles) {
      for (const { branch: own, logWeight, tilt } of members) {
        expect(logWeight).toBeCloseTo(own.logWeight, 6);
        expect(tilt?.perVolt ?? 0).toBeCloseTo(0, 6);
        expect(loopDistance([0], branch, own)).toBeLessThan(0.6);
      }
    }
  });

  test("whose likelihoods differ by a slope has that slope for a tilt", () => {
    // e^(k y), k by the source: at 80 ohm 0.8 a volt more than at 0.
    const leaning = new Looks(
      walk,
      (nuisance) => sketch(nuisance) + (nuisance.sourceOhms[0]! / 100) * shownIn(nuisance),
    );
    const weighed = [80, 81, 82].map((rs) => ({
      ...branchOf(rs),
      logWeight: -rs,
      stretches: { sourceOhms: [], loadOhms: [] },
      score: leaning.score(branchOf(rs)),
    }));
    const bundles = leaning.bundles(weighed);
    expect(bundles).toHaveLength(1);
    const [{ branch, members }] = bundles as [(typeof bundles)[number]];
    // The bundle's own source is their mean by their scores.
    const most = Math.max(...weighed.map(({ score }) => score));
    const parts = weighed.map(({ score }) => Math.exp(score - most));
    const total = parts.reduce((sum, part) => sum + part, 0);
    const mean = parts.reduce((sum, part, i) => sum + (part * (80 + i)) / total, 0);
    expect(branch.sourceOhms[0]).toBeCloseTo(mean, 9);
    expect(branch.loadOhms).toEqual([1000]);
    for (const { branch: own, logWeight, tilt } of members) {
      const off = (own.sourceOhms[0]! - mean) / 100;
      expect(tilt!.perVolt).toBeCloseTo(off, 6);
      // At the place from which it is tilted the likelihoods' ratio is e^(off y).
      expect(logWeight - own.logWeight).toBeCloseTo(off * tilt!.from, 6);
    }
  });

  test("has none whose likelihood bends otherwise, or tilts too much", () => {
    const bent = (of: (nuisance: Nuisance) => number) => {
      const own = new Looks(walk, (nuisance) => sketch(nuisance) + of(nuisance));
      const weighed = [80, 81].map((rs) => ({
        ...branchOf(rs),
        logWeight: 0,
        stretches: { sourceOhms: [], loadOhms: [] },
        score: own.score(branchOf(rs)),
      }));
      return own.bundles(weighed).length;
    };
    const isMore = ({ sourceOhms: [rs] }: Nuisance) => (rs! > 80.9 ? 1 : 0);
    expect(bent(() => 0)).toBe(1);
    // The hill is some 0.024 V wide: a bend of 0.5 at 1.2 of it on either side; a slope of 3 over it.
    expect(bent((n) => -isMore(n) * ((shownIn(n) - 4.6) / 0.03) ** 2)).toBe(2);
    expect(bent((n) => isMore(n) * 40 * (shownIn(n) - 4.6))).toBe(2);
  });

  test("has no branch whose loop is far off", () => {
    const own = looks();
    const weighed = [80, 500].map((rs) => ({
      ...branchOf(rs),
      logWeight: 0,
      stretches: { sourceOhms: [], loadOhms: [] },
      score: own.score(branchOf(rs)),
    }));
    expect(own.bundles(weighed)).toHaveLength(2);
  });

  test("of a posterior that is no one hill is each branch by itself", () => {
    const own = new Looks(walk, twoHills(4.55, 4.65, 0.005));
    const weighed = [80, 81].map((rs) => ({
      ...branchOf(rs),
      logWeight: 2,
      stretches: { sourceOhms: [], loadOhms: [] },
      score: own.score(branchOf(rs)),
    }));
    const bundles = own.bundles(weighed);
    expect(own.at(branchOf(80)).fits).toHaveLength(2);
    expect(bundles.map(({ members }) => members.length)).toEqual([1, 1]);
    for (const { members } of bundles) {
      for (const { logWeight } of members) expect(logWeight).toBeCloseTo(2, 6);
    }
  });
});

test("the distance of two branches is the largest of their loops' and loads' ratios, in ln", () => {
  const a = { sourceOhms: [0, 100], loadOhms: [1000, 500] };
  const b = { sourceOhms: [100, 0], loadOhms: [1000, 500] };
  // Supply by supply: 1000 and 1100 by the first meter, 600 and 500 by the second.
  expect(loopDistance([0, 1], a, b)).toBeCloseTo(Math.log(1.2), 12);
  expect(loopDistance([0, null], a, b)).toBeCloseTo(Math.log(1.1), 12);
  expect(loopDistance([null, null], a, { ...b, loadOhms: [1000, 250] })).toBeCloseTo(
    Math.log(2),
    12,
  );
  expect(loopDistance([null, null], a, b)).toBe(0);
});

test("a look is where prior and sketch put y", () => {
  const branch = branchOf(80);
  const look = new Looks(walk, (nuisance) => bell(shownIn(nuisance), 4.6, 0.03)).at(branch);
  // Precisions add: the prior's 5000 / 1080 with 0.05 times as much, the sketch's 4.6 and 0.03.
  const [m, p] = [5000 / 1080, 50 / 1080];
  const precision = 1 / p ** 2 + 1 / 0.03 ** 2;
  expect(look.fits[0]!.mean[0]).toBeCloseTo((m / p ** 2 + 4.6 / 0.03 ** 2) / precision, 6);
  const top = look.fits[0]!.mean;
  const score = logPrior(coordinatesOf(walk, branch), top) + bell(top[0]!, 4.6, 0.03);
  expect(look.logMass).toBeCloseTo(score + 0.5 * Math.log((2 * Math.PI) / precision), 5);
});

/**
 * Four circuits behind a source that nobody knows, of which one is stuck closed through 2 ohm behind 50:
 * that one tells the source, which the others hardly do. A sketch takes a sound contact for 0.28 ohm.
 */
describe("a circuit that conducts tells a source", () => {
  const quiet = { ...fine, tails: 0.05, slope: 0.997, floor: 1e-5 };
  const film = [
    { share: 0.6, medianOhms: 60, logSd: 1.2 },
    { share: 0.4, medianOhms: 10_000, logSd: 3 },
  ];
  const joint = { ...link(1, chances({ fouled: 0.02, open: 0.002 })), fouled: film };
  const stuck = { kind: "stuck", link: 0, chance: 0.01, medianOhms: 2, logSd: 1 } as const;
  const own = (shown: number, c: number) =>
    circuit([joint], [[reading(c, shown, quiet)]], { conducting: [stuck] });
  // 2 beside 1000 ohm behind 51.28; 1000 alone.
  const low = (5 * (2000 / 1002)) / (2000 / 1002 + 51.28);
  const shown = [low, 5000 / 1051.28, 5000 / 1051.28, 5000 / 1051.28];
  const telling = walkOf(shown.map(own), {
    supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: source }],
  });
  const sketch = walkSketch(telling, nestOf(telling));
  const looksAt = () =>
    new Looks(telling, sketch.at, (nuisances) => sourceLoops(telling, sketch, nuisances));
  const placeOf = (branch: Branch) => {
    const coordinates = coordinatesOf(telling, branch);
    const score = scoreOf(coordinates, sketch.at);
    const { mean, sd } = coordinates.prior[0]!;
    const step = sd / 200;
    const along = Array.from({ length: 2401 }, (_, i) => mean + (i - 1200) * step);
    const values = along.map((y) => score(Float64Array.of(y)));
    const most = Math.max(...values);
    const sum = values.reduce((all, value) => all + Math.exp(value - most), 0);
    const top = Float64Array.of(along[values.indexOf(most)]!);
    return { logMass: most + Math.log(sum * step), nuisance: coordinates.nuisance(top) };
  };
  const gain = (at: Nuisance) =>
    sourceLoops(
      telling,
      sketch,
      [10, 50, 200].map((rs) => ({ ...at, sourceOhms: [rs] })),
    )!(at);

  test("its part is in the score, at the place where the others put the EMF", () => {
    const looks = looksAt();
    for (const rs of [50, 45, 60, 100, 20]) {
      const { logMass, nuisance } = placeOf(branchOf(rs));
      expect(Math.abs(looks.score(branchOf(rs)) - logMass - gain(nuisance))).toBeLessThan(0.3);
    }
    const scores = [20, 50, 150].map((rs) => looks.score(branchOf(rs)));
    expect(scores[1]).toBeGreaterThan(scores[0]! + 3);
    expect(scores[1]).toBeGreaterThan(scores[2]! + 3);
  });

  test("sources that a small loop tells apart are not bundled, others with their gains", () => {
    const looks = looksAt();
    const weighed = (sources: readonly number[]) =>
      sources.map((rs) => ({
        ...branchOf(rs),
        logWeight: 0,
        stretches: { sourceOhms: [], loadOhms: [] },
        score: looks.score(branchOf(rs)),
      }));
    expect(looks.bundles(weighed([50, 90]))).toHaveLength(2);
    const near = weighed([50, 52]);
    const [bundle, ...rest] = looks.bundles(near);
    expect(rest).toEqual([]);
    // Laid at the likelier of both, not at their mean.
    const first = near.toSorted((a, b) => b.score - a.score)[0]!;
    expect(bundle!.branch.sourceOhms).toEqual(first.sourceOhms);
    for (const { branch, logWeight } of bundle!.members) {
      const [here, there] = [branch, first].map((one) => gain(placeOf(one).nuisance));
      // The others' likelihood of y is the same to some hundredths: what is left is the loop's.
      expect(Math.abs(logWeight - (here! - there!))).toBeLessThan(0.15);
    }
  });
});
