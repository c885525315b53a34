import { expect, test } from "vitest";
import { normalAtMaximum, sdOf } from "../../../src/inference/nuisance/normal-fit.ts";

test("a normal's own mean and covariance, from anywhere near", () => {
  // Precision [[4, 1], [1, 2]]: covariance [[2, -1], [-1, 4]] / 7.
  const f = ([x, y]: Float64Array): number => {
    const [a, b] = [x! - 1, y! + 2];
    return -0.5 * (4 * a * a + 2 * a * b + 2 * b * b);
  };
  const fit = normalAtMaximum(f, Float64Array.of(0, 0), Float64Array.of(0.3, 0.3))!;
  expect(fit.mean[0]).toBeCloseTo(1, 6);
  expect(fit.mean[1]).toBeCloseTo(-2, 6);
  expect(sdOf(fit, 0) ** 2).toBeCloseTo(2 / 7, 6);
  expect(sdOf(fit, 1) ** 2).toBeCloseTo(4 / 7, 6);
});

test("from where the function is no hill it goes on until it has come to one", () => {
  // Student's t of three degrees of freedom is convex beyond sqrt(3); eight steps lead past that.
  const t = (x: number): number => -2 * Math.log1p((x * x) / 3);
  const f = ([x, y]: Float64Array): number => 30 * t(x! - 2) + 30 * t(y!) - 5 * (y! - x! + 2) ** 2;
  const fit = normalAtMaximum(f, Float64Array.of(14, -9), Float64Array.of(0.25, 0.25))!;
  expect(fit.mean[0]).toBeCloseTo(2, 2);
  expect(fit.mean[1]).toBeCloseTo(0, 2);
});

test("a plain that only rises has no top", () => {
  const f = ([x]: Float64Array): number => x!;
  expect(normalAtMaximum(f, Float64Array.of(0), Float64Array.of(1))).toBeNull();
});
