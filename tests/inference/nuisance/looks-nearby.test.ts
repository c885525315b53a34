import { describe, expect, test } from "vitest";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import { firstLooks } from "../../../src/inference/nuisance/branches.ts";
import type { Branch } from "../../../src/inference/nuisance/coordinates.ts";
import { Looks } from "../../../src/inference/nuisance/looks.ts";
import { exactOhms, type UncertainOhms } from "../../../src/inference/problem.ts";
import { logSum } from "../../../src/numerics/log-sum.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Without a source a meter shows the EMF whatever its load is: branches by load have one prior, N(5, 0.05),
 * and are as far apart as the loads are, in ln. A bell of width s about a has the mass N(a; 5, 0.05^2 + s^2)
 * s sqrt(2 pi) under it, and its top where their precisions put it.
 */
const path = (value: number, c: number) =>
  circuit([link(1, chances({}))], [[reading(c, value, { noise: 0.02, halfStep: 0.005 })]]);
const walkShowing = (values: readonly number[], sources = [exactOhms(0)]) =>
  walkOf(values.map(path), {
    supplies: sources.map((sourceOhms) => ({ emf: 5, emfSd: 0.05, sourceOhms })),
  });
const at = (load: number): Branch => ({ sourceOhms: [0], loadOhms: [load] });
const four = walkShowing([4.9, 4.9, 4.9, 4.9]);
const bell = (x: number, place: number, width: number) => -0.5 * ((x - place) / width) ** 2;
const under = (place: number, width: number) => {
  const variance = 0.05 ** 2 + width ** 2;
  const precision = 1 / 0.05 ** 2 + 1 / width ** 2;
  return {
    logMass: bell(place, 5, Math.sqrt(variance)) + Math.log(width) - 0.5 * Math.log(variance),
    mean: (5 / 0.05 ** 2 + place / width ** 2) / precision,
    sd: 1 / Math.sqrt(precision),
  };
};

/** A sketch of EMF and load, and where it was asked. */
function watched(of: (emf: number, load: number) => number) {
  const asked: number[] = [];
  const sketch = ({ emf: [emf], loadOhms: [load] }: Nuisance) => {
    asked.push(emf!);
    return of(emf!, load!);
  };
  return { asked, sketch };
}

/** Looks of which those at some loads are known, and how often the next score asks, and where. */
function beside(
  loads: readonly number[],
  of: (emf: number, load: number) => number,
  walk = four,
  loops?: (nuisance: Nuisance) => number,
) {
  const { asked, sketch } = watched(of);
  const looks = new Looks(walk, sketch, () => loops ?? null);
  for (const load of loads) looks.score(at(load));
  return (load: number) => {
    asked.length = 0;
    const score = looks.score(at(load));
    return { score, asked: [...asked] };
  };
}

describe("a branch near one that was looked at", () => {
  const { mean, sd, logMass } = under(4.9, 0.02);

  test("is asked about at three places of its hill, then where the prior and circuits put it else", () => {
    // 4.9 V is the hill's own; 4.3 is 14 of the prior's deviations off.
    const next = beside([1000], (e) => bell(e, 4.9, 0.02), walkShowing([4.9, 4.6, 4.3, 5.2]));
    const { asked, score } = next(1100);
    const places = [mean - 1.2 * sd, mean, mean + 1.2 * sd, 5, 5.2, 4.6];
    expect(asked).toHaveLength(places.length);
    for (const [i, place] of places.entries()) expect(asked[i]).toBeCloseTo(place, 5);
    expect(score).toBeCloseTo(logMass, 6);
    // The prior's own middle belongs to a hill three of whose deviations reach it.
    expect(beside([1000], (e) => bell(e, 4.95, 0.04))(1100).asked).toHaveLength(3);
  });

  test("has its own hill, beside the other's, and loops are asked there", () => {
    const of = (e: number, load: number) =>
      load > 1050 ? bell(e, 4.88, 0.015) : bell(e, 4.9, 0.02);
    const next = beside([1000], of, four, ({ emf: [e] }) => e!);
    const { score, asked } = next(1100);
    const own = under(4.88, 0.015);
    expect(asked.length).toBeLessThan(8);
    expect(score).toBeCloseTo(own.logMass + own.mean, 5);
  });

  test("is looked along anew where two loads differ by over 0.7, in ln", () => {
    const next = beside([1000], (e) => bell(e, 4.9, 0.02));
    expect(next(1000 * Math.exp(0.69)).asked.length).toBeLessThan(8);
    const far = next(1000 * Math.exp(0.71));
    expect(far.asked.length).toBeGreaterThan(20);
    expect(far.score).toBeCloseTo(logMass, 5);
  });

  test("is told by the nearest of several", () => {
    const place = (load: number) => (load < 1500 ? 4.9 : load < 4000 ? 4.97 : 5.04);
    for (const order of [
      [1000, 2600, 7000],
      [7000, 1000, 2600],
      [2600, 7000, 1000],
    ]) {
      const next = beside(order, (e, load) => bell(e, place(load), 0.005));
      for (const load of [1100, 2400, 6500]) {
        const { score, asked } = next(load);
        expect(asked.length).toBeLessThan(8);
        expect(score).toBeCloseTo(under(place(load), 0.005).logMass, 4);
      }
    }
  });

  test("whose top is sixty under the best mass is not looked into: the top is enough", () => {
    const falling = (by: number) =>
      beside([1000], (e, load) => bell(e, 4.9, 0.02) - (load > 1050 ? by : 0))(1100);
    const top = bell(mean, 5, 0.05) - Math.log(0.05 * Math.sqrt(2 * Math.PI));
    // A top is 1 / (sd sqrt(2 pi)) times its mass: e^3.07 of it.
    expect(falling(64).score).toBeCloseTo(top + bell(mean, 4.9, 0.02) - 64, 5);
    expect(falling(62).score).toBeCloseTo(logMass - 62, 5);
    expect(falling(64).asked.length).toBeLessThan(8);
    // The best so far counts, not what was last.
    const next = beside([1000, 1020], (e, load) => bell(e, 4.9, 0.02) - (load > 1010 ? 50 : 0));
    expect(next(1030).score).toBeCloseTo(logMass - 50, 5);
  });

  test("is looked at once more where a hill lies elsewhere, if only 1/20 as high", () => {
    // Where a circuit shows 4.75 V, and another 4.82 on the way there.
    const walk = walkShowing([4.9, 4.9, 4.82, 4.75]);
    const of = (log: number) => (e: number, load: number) =>
      logSum([bell(e, 4.9, 0.01), (load > 1050 ? log : -900) + bell(e, 4.75, 0.01)]);
    const [first, other] = [under(4.9, 0.01), under(4.75, 0.01)];
    const log = first.logMass - other.logMass - 3;
    const { score, asked } = beside([1000], of(log), walk)(1100);
    expect(asked.length).toBeGreaterThan(8);
    expect(score).toBeCloseTo(first.logMass + Math.log(1 + Math.exp(-3)), 4);
    // Of a thousandth the first is all.
    const slight = beside([1000], of(log - 4), walk)(1100);
    expect(slight.asked.length).toBeLessThan(8);
    expect(slight.score).toBeCloseTo(first.logMass, 4);
  });

  const both =
    (logs: readonly [number, number], widths: readonly [number, number]) => (e: number) =>
      logSum([logs[0] + bell(e, 4.9, widths[0]), logs[1] + bell(e, 5.05, widths[1])]);
  const pair = both([0, 0], [0.01, 0.01]);

  test("of two hills of which one is gone has the other's mass", () => {
    // Where the other was there is a hollow.
    const hollow = (e: number) => -30 + Math.min(1, 2000 * (e - 5.05) ** 2);
    const lone = (e: number) => logSum([bell(e, 4.9, 0.01), hollow(e)]);
    const next = beside([1000], (e, load) => (load > 1050 ? lone(e) : pair(e)));
    const { score, asked } = next(1100);
    expect(score).toBeCloseTo(under(4.9, 0.01).logMass, 4);
    expect(asked.length).toBeLessThan(10);
  });

  test("of which one hill is no longer where it was is looked at anew", () => {
    const next = beside([1000], (e, load) =>
      load > 1050 ? logSum([bell(e, 4.9, 0.01), bell(e, 5.09, 0.01)]) : pair(e),
    );
    const { score, asked } = next(1100);
    const parts = [under(4.9, 0.01), under(5.09, 0.01)];
    expect(asked.length).toBeGreaterThan(20);
    expect(score).toBeCloseTo(logSum(parts.map((part) => part.logMass)), 3);
  });

  test("whose hill has moved by over three deviations is looked at anew", () => {
    const moved = (by: number) =>
      beside([1000], (e, load) => bell(e, load > 1050 ? 5 + by : 5, 0.01))(1100);
    expect(moved(0.027).asked.length).toBeLessThan(8);
    expect(moved(0.027).score).toBeCloseTo(under(5.027, 0.01).logMass, 4);
    expect(moved(0.034).asked.length).toBeGreaterThan(20);
    expect(moved(0.034).score).toBeCloseTo(under(5.034, 0.01).logMass, 4);
  });

  test("what loops say is asked at the highest hill, be it which it may", () => {
    for (const [logs, place] of [
      [[2, 0], under(4.9, 0.01).mean],
      [[-0.5, 0.5], under(5.05, 0.01).mean],
    ] as const) {
      const emfs: number[] = [];
      const gain = ({ emf: [e] }: Nuisance) => {
        emfs.push(e!);
        return 0.5;
      };
      const hills = both(logs, [0.01, 0.01]);
      const next = beside([1000], (e, load) => (load > 1050 ? hills(e) : pair(e)), four, gain);
      const { score } = next(1100);
      expect(emfs.at(-1)).toBeCloseTo(place, 4);
      const masses = [under(4.9, 0.01), under(5.05, 0.01)].map((one, i) => one.logMass + logs[i]!);
      expect(score).toBeCloseTo(logSum(masses) + 0.5, 3);
    }
  });
});

test("a look along the whole axis is enough for its own branch, but for walks under four circuits", () => {
  const again = (count: number) => {
    const { asked, sketch } = watched((e) => bell(e, 4.9, 0.02));
    const looks = new Looks(walkShowing(Array(count).fill(4.9)), sketch);
    looks.score(at(1000));
    asked.length = 0;
    const look = looks.at(at(1000));
    const more = asked.length;
    expect(looks.at(at(1000))).toBe(look);
    const other = looks.at(at(1010));
    expect(other).not.toBe(look);
    expect(looks.at(at(1010))).toBe(other);
    return more;
  };
  expect(again(3)).toBeGreaterThan(0);
  expect([again(4), again(5)]).toEqual([0, 0]);
});

describe("what loops say of sources", () => {
  const source: UncertainOhms = { exact: [{ chance: 0.5, ohms: 0 }], medianOhms: 220, logSd: 1 };
  const flat = () => 0;
  const branch = (sourceOhms: readonly number[]): Branch => ({ sourceOhms, loadOhms: [1000] });

  function probed(sources: readonly UncertainOhms[], ohms: readonly number[]) {
    const walk = walkShowing([4.6, 4.6, 4.6, 4.6], [...sources]);
    const found: (readonly Nuisance[])[] = [];
    const asked: Nuisance[] = [];
    const looks = new Looks(walk, flat, (nuisances) => {
      found.push(nuisances);
      return (nuisance) => {
        asked.push(nuisance);
        return -nuisance.sourceOhms[0]! / 100;
      };
    });
    return { found, asked, score: looks.score(branch(ohms)), looks };
  }

  test("is asked for with sources all over their laws, the meter showing what it does", () => {
    const { found, asked, score, looks } = probed([source], [250]);
    expect(found).toHaveLength(1);
    expect(found[0]!.map(({ sourceOhms }) => sourceOhms)).toEqual(
      firstLooks(source).map((ohms) => [ohms]),
    );
    // 4 V on a path without resistance behind 250 ohm, whatever source there is instead.
    for (const { emf, sourceOhms, loadOhms } of found[0]!)
      expect((emf[0]! * loadOhms[0]!) / (loadOhms[0]! + sourceOhms[0]!)).toBeCloseTo(4, 6);
    expect(asked).toHaveLength(1);
    expect(asked[0]!.sourceOhms).toEqual([250]);
    // The prior alone has the mass 1.
    expect(score).toBeCloseTo(-2.5, 6);
    looks.score(branch([300]));
    looks.score(branch([250]));
    expect(found).toHaveLength(1);
    expect(asked.map(({ sourceOhms: [ohms] }) => ohms)).toEqual([250, 300]);
  });

  test("of several supplies each has its own law, again from its beginning where another has more", () => {
    const two: UncertainOhms = {
      exact: [
        { chance: 0.5, ohms: 0 },
        { chance: 0.5, ohms: 47 },
      ],
      ...{ medianOhms: 1, logSd: 1 },
    };
    const { found } = probed([two, source], [47, 220]);
    const own = firstLooks(source);
    expect(found[0]!.map(({ sourceOhms }) => sourceOhms)).toEqual(
      own.map((ohms, i) => [i % 2 === 0 ? 0 : 47, ohms]),
    );
  });

  test("is asked for with none where every source is known", () => {
    const { found } = probed([exactOhms(100)], [100]);
    expect(found).toEqual([[]]);
  });

  test("has the nominal EMF where nothing is unknown", () => {
    const walk = { ...walkShowing([4.6]), driftSd: 0 };
    const known = { ...walk, supplies: [{ ...walk.supplies[0]!, emfSd: 0 }] };
    const emfs: number[] = [];
    const looks = new Looks(
      known,
      () => -3,
      () =>
        ({ emf: [e] }) => {
          emfs.push(e!);
          return 2;
        },
    );
    expect(looks.score(branch([0]))).toBeCloseTo(-1, 12);
    expect(emfs).toEqual([5]);
  });
});
