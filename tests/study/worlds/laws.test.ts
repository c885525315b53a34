import { expect, test } from "vitest";
import { seededRandom } from "../random.ts";
import { between, type Law, logNormal, mixed, normal, studentT, weibull } from "./laws.ts";

const draws = (law: Law, n = 40_000): number[] => {
  const { uniform } = seededRandom(8);
  return Array.from({ length: n }, () => law(uniform));
};
const mean = (xs: readonly number[]): number => xs.reduce((sum, x) => sum + x, 0) / xs.length;
const sd = (xs: readonly number[]): number => {
  const m = mean(xs);
  return Math.sqrt(mean(xs.map((x) => (x - m) ** 2)));
};
const under = (xs: readonly number[], x: number): number =>
  xs.filter((one) => one <= x).length / xs.length;

// Bands are five standard errors of 40,000 draws wide.
test("a normal has its mean, its spread and 97.5 % under 1.96 (standard normal table)", () => {
  const xs = draws(normal(5, 0.05));
  expect(Math.abs(mean(xs) - 5)).toBeLessThan((5 * 0.05) / 200);
  expect(Math.abs(sd(xs) - 0.05)).toBeLessThan((5 * 0.05) / 280);
  expect(Math.abs(under(xs, 5 + 1.96 * 0.05) - 0.975)).toBeLessThan(0.004);
});

test("a log-normal has its median and its spread of logarithms", () => {
  const logs = draws(logNormal(60, 1.2)).map(Math.log);
  expect(Math.abs(mean(logs) - Math.log(60))).toBeLessThan((5 * 1.2) / 200);
  expect(Math.abs(sd(logs) - 1.2)).toBeLessThan((5 * 1.2) / 280);
});

// Table of Student's t, 3 degrees of freedom: 95 % under 2.353, 97.5 % under 3.182 (from memory).
test("Student's t with 3 degrees of freedom has its table's tails", () => {
  const xs = draws(studentT(0.02, 3));
  expect(Math.abs(under(xs, 0.02 * 2.353) - 0.95)).toBeLessThan(0.0055);
  expect(Math.abs(under(xs, 0.02 * 3.182) - 0.975)).toBeLessThan(0.004);
  expect(Math.abs(under(xs, 0) - 0.5)).toBeLessThan(0.0125);
});

// By definition the Weibull law has 1 - 1/e of its mass under its scale, whatever the shape.
test("a Weibull has 63.2 % under its scale", () => {
  expect(Math.abs(under(draws(weibull(100, 0.6)), 100) - 0.632)).toBeLessThan(0.0125);
});

test("a mixture takes its first part as often as it says", () => {
  const xs = draws(mixed(0.6, between(0, 1), between(5, 7)));
  expect(Math.abs(under(xs, 2) - 0.6)).toBeLessThan(0.0125);
  expect(Math.abs(mean(xs) - (0.6 * 0.5 + 0.4 * 6))).toBeLessThan(0.075);
});
