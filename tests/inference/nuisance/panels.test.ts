import { probit } from "simple-statistics";
import { expect, test } from "vitest";
import { panelIntegral } from "../../../src/inference/nuisance/panels.ts";

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
