import { describe, expect, test } from "vitest";
import { branchesOf, firstLooks } from "../../../src/inference/nuisance/branches.ts";
import type { Branch } from "../../../src/inference/nuisance/coordinates.ts";
import { exactOhms, type UncertainOhms } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Branches are a rule of integration over unknown resistances: their weights times e^score add to the
 * integral of the law times e^score, here by the trapezoidal rule over 8 standard deviations of ln ohm.
 */
const source: UncertainOhms = { exact: [{ chance: 0.25, ohms: 10 }], medianOhms: 220, logSd: 1 };
const load: UncertainOhms = { exact: [], medianOhms: 2000, logSd: 0.8 };
const path = (supply = 0, meter = 0) =>
  circuit([link(1, chances({}))], [[reading(0, 4.9, { meter })]], { supply });
const supplyOf = (sourceOhms: UncertainOhms) => ({ emf: 5, emfSd: 0.05, sourceOhms });
const walkWith = (sourceOhms: UncertainOhms, loads = [exactOhms(1000)]) =>
  walkOf([path()], { supplies: [supplyOf(sourceOhms)], loads });

/** Places of a law with their parts of it. */
function placesOf({ exact, medianOhms, logSd }: UncertainOhms, count = 4001) {
  const rest = 1 - exact.reduce((sum, { chance }) => sum + chance, 0);
  const step = 16 / (count - 1);
  return [
    ...exact.map(({ chance, ohms }) => ({ ohms, part: chance })),
    ...Array.from({ length: count }, (_, i) => {
      const z = i * step - 8;
      const part = (rest * step * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI);
      return { ohms: medianOhms * Math.exp(logSd * z), part };
    }),
  ];
}
const hill = (x: number, at: number, width: number) =>
  -0.5 * ((Math.log(x) - Math.log(at)) / width) ** 2;
const sumOf = (found: ReturnType<typeof branchesOf>, of: (one: Branch) => number = () => 1) =>
  found.reduce((sum, one) => sum + of(one) * Math.exp(one.score), 0);

test("what is known is one branch; what nobody read or fed takes any value", () => {
  const walk = walkOf([path(1, 1)], {
    supplies: [supplyOf(source), supplyOf(exactOhms(47))],
    loads: [load, exactOhms(900), load],
  });
  let asked = 0;
  const found = branchesOf(walk, () => {
    asked += 1;
    return 7;
  });
  expect(found).toMatchObject([
    { sourceOhms: [1000, 47], loadOhms: [1000, 900, 1000], logWeight: 0, score: 0 },
  ]);
  expect(asked).toBe(0);
});

test("a meter that only pressed switches were read with was used", () => {
  const one = { ...path(), readings: [[]], pressed: [[reading(0, 0.1, { meter: 1 })]] };
  const walk = walkOf([one], { loads: [load, exactOhms(900)] });
  expect(branchesOf(walk, () => 0)).toMatchObject([
    { sourceOhms: [20], loadOhms: [1000, 900], logWeight: 0, score: 0 },
  ]);
});

test("exact values by their chances, one of no chance is none", () => {
  const law = {
    exact: [
      { chance: 0.75, ohms: 5 },
      { chance: 0, ohms: 50 },
      { chance: 0.25, ohms: 500 },
    ],
    ...{ medianOhms: 1, logSd: 1 },
  };
  const found = branchesOf(walkWith(law), ({ sourceOhms: [ohms] }) => ohms! / 1000);
  expect(found.map(({ sourceOhms: [ohms] }) => ohms)).toEqual([5, 500]);
  expect(found.map(({ logWeight }) => Math.exp(logWeight))).toEqual([0.75, 0.25]);
  expect(found[1]!.score).toBeCloseTo(Math.log(0.25) + 0.5, 12);
});

describe("one unknown resistance", () => {
  const asked = (score: (ohms: number) => number, law = source) => {
    const found = branchesOf(walkWith(law), ({ sourceOhms: [ohms], loadOhms: [own] }) => {
      expect(own).toBe(1000);
      return score(ohms!);
    });
    const whole = (of: (ohms: number) => number) =>
      placesOf(law).reduce(
        (sum, { ohms, part }) => sum + part * of(ohms) * Math.exp(score(ohms)),
        0,
      );
    return { found, whole, total: sumOf(found) };
  };

  test("that readings say nothing of is its law", () => {
    const { total, found } = asked(() => 0);
    expect(total).toBeCloseTo(1, 2);
    const exact = found.find(({ sourceOhms: [ohms] }) => ohms === 10)!;
    expect(Math.exp(exact.logWeight)).toBeCloseTo(0.25, 12);
    const rest = found.filter((one) => one !== exact);
    const ln = sumOf(rest, ({ sourceOhms: [ohms] }) => Math.log(ohms! / 220)) / sumOf(rest);
    expect(ln).toBeCloseTo(0, 3);
    const square = sumOf(rest, ({ sourceOhms: [ohms] }) => Math.log(ohms! / 220) ** 2);
    expect(Math.abs(square / sumOf(rest) - 1)).toBeLessThan(0.04);
  });

  test.each([
    ["wide", 300, 0.5],
    ["narrow", 300, 0.05],
    ["a hair, between what is looked at first", 431, 0.004],
    ["far out in the law", 2500, 0.1],
    ["under its middle", 60, 0.2],
  ])("that readings put somewhere: %s", (_, at, width) => {
    const { total, whole, found } = asked((ohms) => 20 + hill(ohms, at, width));
    expect(Math.abs(total / whole(() => 1) - 1)).toBeLessThan(0.01);
    const mean = (of: (ohms: number) => number) =>
      sumOf(found, ({ sourceOhms: [ohms] }) => of(ohms!)) / total - whole(of) / whole(() => 1);
    expect(Math.abs(mean(Math.log))).toBeLessThan(0.02 * width + 1e-5);
    // Nodes lie where the posterior is, and are few.
    expect(found.length).toBeLessThan(60);
    const most = Math.max(...found.map(({ score }) => score));
    for (const { score } of found) expect(score).toBeGreaterThan(most - 6.3);
  });

  test("that may be in either of two places", () => {
    const score = (ohms: number) =>
      Math.log(Math.exp(hill(ohms, 80, 0.1)) + 0.5 * Math.exp(hill(ohms, 900, 0.1)));
    const { total, whole, found } = asked(score);
    expect(Math.abs(total / whole(() => 1) - 1)).toBeLessThan(0.02);
    const far = (ohms: number) => (ohms > 300 ? 1 : 0);
    const share = sumOf(found, ({ sourceOhms: [ohms] }) => far(ohms!)) / total;
    expect(Math.abs(share - whole(far) / whole(() => 1))).toBeLessThan(0.01);
  });

  test("whose exact value explains all leaves no other", () => {
    const { found } = asked((ohms) => (ohms === 10 ? 0 : -12));
    expect(found.map(({ sourceOhms: [ohms] }) => ohms)).toEqual([10]);
  });
});

test("several unknown resistances are a product, where readings tie them too", () => {
  const law = { exact: [], medianOhms: 220, logSd: 0.7 };
  // What a meter shows of 5 V: the load's part of the loop ties both, loosely.
  const score = ({ sourceOhms: [rs], loadOhms: [rl] }: Branch) =>
    -0.5 * (((5 * rl!) / (rl! + rs!) - 4.4) / 0.3) ** 2;
  const found = branchesOf(walkWith(law, [load]), score);
  const [sources, loads] = [placesOf(law, 401), placesOf(load, 401)];
  let [whole, ratio] = [0, 0];
  for (const a of sources) {
    for (const b of loads) {
      const p = a.part * b.part * Math.exp(score({ sourceOhms: [a.ohms], loadOhms: [b.ohms] }));
      whole += p;
      ratio += p * Math.log(b.ohms / a.ohms);
    }
  }
  expect(Math.abs(sumOf(found) / whole - 1)).toBeLessThan(0.05);
  const mean = sumOf(found, ({ sourceOhms: [rs], loadOhms: [rl] }) => Math.log(rl! / rs!));
  expect(Math.abs(mean / sumOf(found) - ratio / whole)).toBeLessThan(0.02);
  for (const one of found) expect(one.score).toBeCloseTo(score(one) + one.logWeight, 9);
});

test("a supply that is low ties its source to a load that may be anything, along all of it", () => {
  const law = { exact: [{ chance: 0.5, ohms: 0 }], medianOhms: 220, logSd: 1 };
  const any = { exact: [{ chance: 0.5, ohms: 1e7 }], medianOhms: 2000, logSd: 1.5 };
  // 4.1 V of 5 V +- 0.05 V: ln of source over load is known to 0.07, neither by itself.
  const score = ({ sourceOhms: [rs], loadOhms: [rl] }: Branch) =>
    -0.5 * ((4.1 * (1 + rs! / rl!) - 5) / 0.05) ** 2;
  const found = branchesOf(walkWith(law, [any]), score);
  const [sources, loads] = [placesOf(law, 1601), placesOf(any, 401)];
  const sums = (of: (one: Branch) => number) => {
    let sum = 0;
    for (const a of sources) {
      for (const b of loads) {
        const one = { sourceOhms: [a.ohms], loadOhms: [b.ohms] };
        sum += a.part * b.part * Math.exp(score(one)) * of(one);
      }
    }
    return sum;
  };
  const whole = sums(() => 1);
  expect(Math.abs(sumOf(found) / whole - 1)).toBeLessThan(0.06);
  for (const under of [600, 1200, 4000]) {
    const far = ({ loadOhms: [rl] }: Branch) => (rl! < under ? 1 : 0);
    expect(Math.abs(sumOf(found, far) / sumOf(found) - sums(far) / whole)).toBeLessThan(0.12);
  }
  const ln = ({ loadOhms: [rl] }: Branch) => Math.log(rl!);
  expect(Math.abs(sumOf(found, ln) / sumOf(found) - sums(ln) / whole)).toBeLessThan(0.06);
  for (const one of found)
    for (const [k, { low, high }] of [
      ...one.stretches.loadOhms,
      ...one.stretches.sourceOhms,
    ].entries()) {
      const ohms = [...one.loadOhms, ...one.sourceOhms][k]!;
      expect(low <= ohms && ohms <= high).toBe(true);
    }
});

test("where no branch is possible, there is none", () => {
  const never = () => Number.NEGATIVE_INFINITY;
  expect(branchesOf(walkWith(source), never)).toEqual([]);
  expect(branchesOf(walkWith(source, [load]), never)).toEqual([]);
});

test("two that readings tell by themselves, each far from its law's middle", () => {
  const law = { exact: [{ chance: 0.5, ohms: 0.1 }], medianOhms: 220, logSd: 1 };
  const score = ({ sourceOhms: [rs], loadOhms: [rl] }: Branch) =>
    hill(rs!, 700, 0.05) + hill(rl!, 6000, 0.05);
  const found = branchesOf(walkWith(law, [load]), score);
  const over = (of: UncertainOhms, at: number) =>
    placesOf(of).reduce((sum, { ohms, part }) => sum + part * Math.exp(hill(ohms, at, 0.05)), 0);
  const whole = over(law, 700) * over(load, 6000);
  expect(Math.abs(sumOf(found) / whole - 1)).toBeLessThan(0.05);
});

test("a first look is even over the law, exact values first, and sees what is known alone", () => {
  const looks = firstLooks(source);
  expect(looks[0]).toBe(10);
  expect(looks).toHaveLength(10);
  for (const [i, ohms] of looks.slice(1).entries())
    expect(Math.log(ohms / 220)).toBeCloseTo(i - 4, 9);
  expect(firstLooks(exactOhms(47))).toEqual([47]);
});
