import { expect, test } from "vitest";
import {
  along,
  logDensity,
  normalAtMaximum,
  sdOf,
} from "../../../src/inference/nuisance/normal-fit.ts";

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

test("three numbers that hang together, and what is along them", () => {
  // Covariance root root^T: columns (2, 1, -1), (0, 1.5, 0.5), (0, 0, 1).
  const fit = {
    mean: Float64Array.of(1, -2, 3),
    root: [Float64Array.of(2, 1, -1), Float64Array.of(0, 1.5, 0.5), Float64Array.of(0, 0, 1)],
  };
  expect([...along(fit, [1, 2, -1])]).toEqual([3, 2, 2]);
  expect([...along(fit, [1])]).toEqual([3, -1, 2]);
  expect(sdOf(fit, 1)).toBeCloseTo(Math.sqrt(1 + 2.25), 12);
  expect(sdOf(fit, 2)).toBeCloseTo(Math.sqrt(1 + 0.25 + 1), 12);
  // ln of the density: -z^2 / 2, three times ln sqrt(2 pi), and ln of the root's diagonal 2 x 1.5 x 1.
  const there = -0.5 * (1 + 4 + 1) - 1.5 * Math.log(2 * Math.PI) - Math.log(3);
  expect(logDensity(fit, [1, 2, -1])).toBeCloseTo(there, 12);
  expect(logDensity(fit, [])).toBeCloseTo(there + 3, 12);
  const f = (point: Float64Array): number => {
    const [a, b, c] = point.map((x, i) => x - fit.mean[i]!);
    const z0 = a! / 2;
    const z1 = (b! - z0) / 1.5;
    const z2 = c! + z0 - 0.5 * z1;
    return -0.5 * (z0 ** 2 + z1 ** 2 + z2 ** 2);
  };
  const found = normalAtMaximum(f, Float64Array.of(0, 0, 0), Float64Array.of(0.5, 0.5, 0.5))!;
  for (const i of [0, 1, 2]) {
    expect(found.mean[i]).toBeCloseTo(fit.mean[i]!, 6);
    for (const k of [0, 1, 2]) expect(found.root[k]![i]).toBeCloseTo(fit.root[k]![i]!, 5);
  }
});

test("a step that leads too far is cut until it rises", () => {
  // Newton's step from 3 for -sqrt(1 + x^2) leads to -27 and on; the top is at 0, its width 1.
  const f = ([x]: Float64Array): number => -40 * Math.sqrt(1 + x! ** 2);
  const fit = normalAtMaximum(f, Float64Array.of(3), Float64Array.of(1))!;
  expect(Math.abs(fit.mean[0]!)).toBeLessThan(0.15);
});

test("from a saddle it goes to a top, by the axis that bends up too", () => {
  // x^2 - x^4 / 4 rises from 0 to sqrt 2 on either side.
  const f = ([x, y]: Float64Array): number => 10 * (x! ** 2 - x! ** 4 / 4) - 5 * (y! - 1) ** 2;
  const fit = normalAtMaximum(f, Float64Array.of(0.1, 0), Float64Array.of(0.2, 0.2))!;
  expect(Math.abs(fit.mean[0]! - Math.SQRT2)).toBeLessThan(0.05);
  expect(Math.abs(fit.mean[1]! - 1)).toBeLessThan(0.05);
});

test("a ridge that is level, or a function that is nowhere, has no top", () => {
  const ridge = ([x, y]: Float64Array): number => -((x! - y!) ** 2);
  expect(normalAtMaximum(ridge, Float64Array.of(1, 0), Float64Array.of(0.1, 0.1))).toBeNull();
  const none = (): number => Number.NEGATIVE_INFINITY;
  expect(normalAtMaximum(none, Float64Array.of(1), Float64Array.of(0.1))).toBeNull();
});
