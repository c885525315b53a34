import { probit } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { finiteRule, panelIntegral, ruleAround } from "../../../src/inference/nuisance/panels.ts";

/** ln of a normal density (Abramowitz & Stegun 26.2.1). */
const logNormal = (x: number, mean: number, sd: number): number =>
  -0.5 * ((x - mean) / sd) ** 2 - Math.log(sd * Math.sqrt(2 * Math.PI));

const counted = (logDensity: (x: number) => number) => {
  const asked: number[] = [];
  const at = (places: readonly number[]): readonly number[] => {
    asked.push(...places);
    return places.map(logDensity);
  };
  return { asked, at };
};

test("a normal needs no halving: its logarithm is a polynomial of degree 2", () => {
  const { asked, at } = counted((x) => 3 + logNormal(x, 4.9, 0.02));
  const borders = [-5, -1.7, 1.7, 5].map((z) => 4.9 + 0.02 * z);
  const found = panelIntegral(borders, at, [() => 7]);
  expect(asked).toHaveLength(24);
  expect(found.logMass).toBeCloseTo(3, 5);
  expect(found.mean).toBeCloseTo(4.9, 9);
  expect(found.sd).toBeCloseTo(0.02, 6);
  // Quantiles of the normal by a general-purpose library.
  expect(found.quantiles.median).toBeCloseTo(4.9, 6);
  expect(found.quantiles.low).toBeCloseTo(4.9 + 0.02 * probit(0.05), 4);
  expect(found.quantiles.high).toBeCloseTo(4.9 + 0.02 * probit(0.95), 4);
  // Moments of the normal: E z^4 = 3, E z^12 = 10395.
  const [rule] = found.rules;
  const moment = (n: number): number =>
    rule!.nodes.reduce((sum, x, i) => sum + rule!.weights[i]! * ((x - 4.9) / 0.02) ** n, 0);
  expect(moment(4)).toBeCloseTo(3, 3);
  expect(moment(12) / 10395).toBeCloseTo(1, 1);
});

test("two hills of unlike width far apart, found from borders that know but one of them", () => {
  const { at } = counted((x) =>
    Math.log(0.7 * Math.exp(logNormal(x, 0, 1)) + 0.3 * Math.exp(logNormal(x, 7, 0.3))),
  );
  const found = panelIntegral([-5, -1.7, 1.7, 5, 8.5], at, [() => 5]);
  expect(found.logMass).toBeCloseTo(0, 3);
  expect(found.mean).toBeCloseTo(2.1, 2);
  // Under the mixture's 0.35 quantile lies half of the first hill.
  expect(found.quantiles.low).toBeCloseTo(probit(0.05 / 0.7), 2);
  const first = found.masses.filter((one) => one.at < 4).reduce((sum, { mass }) => sum + mass, 0);
  expect(first).toBeCloseTo(0.7, 3);
});

test("a cliff stays where it is: half a normal", () => {
  const { at } = counted((x) => (x < 0 ? Number.NEGATIVE_INFINITY : logNormal(x, 0, 1)));
  const found = panelIntegral([-1, 1.7, 5], at, [() => 3]);
  expect(found.logMass).toBeCloseTo(Math.log(0.5), 2);
  // The half-normal's mean is sqrt(2 / pi).
  expect(found.mean).toBeCloseTo(Math.sqrt(2 / Math.PI), 2);
});

describe("densities whose integrals are known", () => {
  const integral = (
    borders: readonly number[],
    logDensity: (x: number) => number,
    bounds?: Parameters<typeof panelIntegral>[3],
  ) => panelIntegral(borders, (at) => at.map(logDensity), [() => 5], bounds);

  test("a cubic, whose logarithm is none: 1 - x^2 and a part of it", () => {
    // Over -1 to 1: 4/3; of (1 - x^2)(1 + x / 2) the mean is 2/15 over 4/3.
    const cubic = (x: number) => (Math.abs(x) < 1 ? Math.log((1 - x * x) * (1 + x / 2)) : -1e9);
    const { logMass, mean, quantiles } = integral([-1, 0, 1], cubic);
    expect(Math.abs(logMass - Math.log(4 / 3))).toBeLessThan(2e-4);
    expect(mean).toBeCloseTo(0.1, 3);
    // The median: 3/4 (x - x^3/3) + 3/8 (x^2/2 - x^4/4) from -1 is half of all.
    const below = (x: number) => 0.75 * (x - x ** 3 / 3) + 0.375 * (x ** 2 / 2 - x ** 4 / 4);
    expect(below(quantiles.median) - below(-1)).toBeCloseTo(0.5, 3);
    expect(below(quantiles.low) - below(-1)).toBeCloseTo(0.05, 3);
    expect(below(quantiles.high) - below(-1)).toBeCloseTo(0.95, 3);
  });

  test("an exponential from a place on: its mean and its quantiles beyond that", () => {
    const falling = (x: number) => (x < 2 ? Number.NEGATIVE_INFINITY : -(x - 2) / 0.3);
    const { logMass, mean, sd, quantiles } = integral([2, 3], falling);
    expect(logMass).toBeCloseTo(Math.log(0.3), 3);
    expect(mean).toBeCloseTo(2.3, 3);
    expect(sd).toBeCloseTo(0.3, 2);
    expect(quantiles.median).toBeCloseTo(2 + 0.3 * Math.log(2), 3);
    expect(quantiles.high).toBeCloseTo(2 + 0.3 * Math.log(20), 2);
  });

  test.each([
    ["in front", [5, 7]],
    ["behind", [-7, -5]],
    ["on both sides", [-0.5, 0.5]],
  ])("a normal that goes on %s of the first borders", (_, borders) => {
    const { logMass, mean, sd, quantiles } = integral(borders, (x) => logNormal(x, 0, 1));
    expect(logMass).toBeCloseTo(0, 3);
    expect(mean).toBeCloseTo(0, 3);
    expect(sd).toBeCloseTo(1, 3);
    expect(quantiles.low).toBeCloseTo(probit(0.05), 2);
  });

  test("masses ascend, add to 1, and carry the density", () => {
    const { masses, logMass } = integral([-5, 0, 5], (x) => 2 + logNormal(x, 0, 1));
    expect(masses.reduce((sum, { mass }) => sum + mass, 0)).toBeCloseTo(1, 12);
    for (const [i, { at, logDensity }] of masses.entries()) {
      if (i > 0) expect(at).toBeGreaterThan(masses[i - 1]!.at);
      expect(Math.abs(logDensity - 2 - logNormal(at, 0, 1))).toBeLessThan(0.01);
    }
    expect(logMass).toBeCloseTo(2, 3);
  });

  test("a spike a thousandth of its panel wide is found where the panel knows of it", () => {
    const spiky = (x: number) =>
      Math.log(0.5 * Math.exp(logNormal(x, 0, 1)) + 0.5 * Math.exp(logNormal(x, 0.3, 0.002)));
    const { logMass, masses } = integral([-5, -1, 0.29, 0.31, 1, 5], spiky);
    expect(logMass).toBeCloseTo(0, 2);
    const near = masses.filter(({ at }) => Math.abs(at - 0.3) < 0.01);
    expect(near.reduce((sum, { mass }) => sum + mass, 0)).toBeCloseTo(0.504, 2);
  });

  test("no more panels than asked for, and ends no further down", () => {
    const asked: number[] = [];
    const places = (
      logDensity: (x: number) => number,
      bounds: Parameters<typeof panelIntegral>[3],
    ) => {
      asked.length = 0;
      const followed = (at: readonly number[]) => {
        asked.push(...at);
        return at.map(logDensity);
      };
      panelIntegral([-1, 1], followed, [], bounds);
      return { count: asked.length, least: Math.min(...asked), most: Math.max(...asked) };
    };
    // Half the first panel more, 1, at a time: until the density is down by 2, and by 11, in ln.
    const normal = (x: number) => logNormal(x, 0, 1);
    for (const [far, end] of [
      [2, 3],
      [11, 5],
    ] as const) {
      const { least, most } = places(normal, { settled: 1e-3, far, most: 80 });
      for (const at of [-least, most]) {
        expect(at).toBeGreaterThan(end - 1);
        expect(at).toBeLessThan(end);
      }
    }
    const steps = (x: number) => (Math.sin(40 * x) > 0 ? 0 : -3) + normal(x);
    const [few, many] = [6, 80].map((most) => places(steps, { settled: 1e-3, far: 11, most }));
    expect(few!.count).toBeLessThan(many!.count / 3);
  });

  test("a density that never ends is followed so far and no further", () => {
    let asked = 0;
    const { logMass } = panelIntegral(
      [0, 1],
      (at) => {
        asked += at.length;
        return at.map(() => 0);
      },
      [],
    );
    // Half a panel more on either side, some seventeen times.
    expect(asked).toBeLessThan(400);
    expect(Math.exp(logMass)).toBeGreaterThan(15);
    expect(Math.exp(logMass)).toBeLessThan(20);
  });
});

describe("a rule for weighed points", () => {
  const points = Float64Array.of(-1, -0.5, 0, 0.5, 1);
  const weights = Float64Array.of(1, 4, 6, 4, 1);

  test("has their moments, its weights add to 1", () => {
    const { nodes, weights: own } = ruleAround(10, points, weights, 3);
    expect(nodes).toHaveLength(3);
    expect(own.reduce((sum, w) => sum + w, 0)).toBeCloseTo(1, 12);
    const moment = (n: number) => nodes.reduce((sum, x, i) => sum + own[i]! * (x - 10) ** n, 0);
    const exact = (n: number) => points.reduce((sum, x, i) => sum + (weights[i]! * x ** n) / 16, 0);
    for (const n of [1, 2, 3, 4, 5]) expect(moment(n)).toBeCloseTo(exact(n), 10);
  });

  test("has finite nodes of weights over 0, be there fewer points than nodes", () => {
    expect(finiteRule(points, weights, 4).nodes).toHaveLength(4);
    for (const count of [1, 2, 3, 5, 7]) {
      const { nodes, weights: own } = finiteRule(
        Float64Array.of(-1, 1, 1),
        Float64Array.of(2, 1, 1),
        count,
      );
      expect([...nodes].every(Number.isFinite)).toBe(true);
      for (const w of own) expect(w).toBeGreaterThan(0);
      const total = own.reduce((sum, w) => sum + w, 0);
      expect(nodes.reduce((sum, x, i) => sum + (own[i]! * x) / total, 0)).toBeCloseTo(0, 9);
      if (count === 1) continue;
      expect(nodes.reduce((sum, x, i) => sum + (own[i]! * x * x) / total, 0)).toBeCloseTo(1, 9);
    }
  });
});
