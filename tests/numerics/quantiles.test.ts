import { describe, expect, test } from "vitest";
import { chiSquaredCdf, chiSquaredQuantile } from "../../src/numerics/chi-squared.ts";
import { fisherTail } from "../../src/numerics/fisher-f.ts";
import {
  halfWidth,
  normalCdf,
  normalDensity,
  normalQuantile,
  TO_EDGE,
} from "../../src/numerics/normal.ts";
import { studentQuantile } from "../../src/numerics/student-t.ts";

// "R" is R 4.2.2 (qt, qnorm, qchisq, qf; check values G6-16, verified); "SciPy" is SciPy 1.17
// scipy.stats (computed for this test).

const relative = (got: number, expected: number) => Math.abs(got / expected - 1);

describe("normal", () => {
  test.each([
    [0.95, 1.644853627],
    [0.975, 1.959963985],
    [0.995, 2.575829304],
  ])("P(Z <= z) = %d at %d (R)", (p, z) => {
    expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(1e-8);
  });

  test("central intervals of 80 and 90 % (R)", () => {
    expect(halfWidth(0.8)).toBeCloseTo(1.281551566, 8);
    expect(TO_EDGE).toBeCloseTo(1.644853627, 8);
  });

  test.each([
    [-10, 7.61985302416047e-24],
    [-4, 3.167124183311986e-5],
    [-2.5, 0.006209665325776132],
    [0.3, 0.6179114221889526],
    [3.5, 0.9997673709209645],
  ])("P(Z <= %d) is %d (SciPy)", (z, p) => {
    expect(relative(normalCdf(z), p)).toBeLessThan(1e-13);
  });

  test("a quantile goes there and back over the whole range", () => {
    for (const p of [1e-300, 1e-12, 0.001, 0.3, 0.5, 0.7]) {
      expect(relative(normalCdf(normalQuantile(p)), p)).toBeLessThan(1e-11);
    }
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(() => normalQuantile(1.5)).toThrow("0 to 1, got 1.5");
  });

  test("the density is the slope of the distribution function", () => {
    for (const z of [-4, -1, 0, 2.5]) {
      const slope = (normalCdf(z + 1e-5) - normalCdf(z - 1e-5)) / 2e-5;
      expect(relative(slope, normalDensity(z))).toBeLessThan(1e-8);
    }
  });
});

describe("Student", () => {
  test.each([
    [3, 3.182446305],
    [4, 2.776445105],
    [10, 2.228138852],
    [34, 2.032244509],
  ])("the 97.5 %% point of %d degrees of freedom is %d (R)", (df, t) => {
    expect(Math.abs(studentQuantile(0.975, df) - t)).toBeLessThan(1e-8);
  });

  test.each([
    [0.975, 1, 12.706204736174694],
    [0.9, 2.5, 1.7302509288071766],
    [0.6, 7, 0.2631668613520229],
    [0.995, 16, 2.9207816224251],
    [0.995, 200, 2.600634436191558],
  ])("t(%d, %d) is %d (SciPy)", (p, df, t) => {
    expect(relative(studentQuantile(p, df), t)).toBeLessThan(1e-11);
    expect(studentQuantile(1 - p, df)).toBeCloseTo(-t, 9);
  });

  test("its middle is 0, and no freedom is a mistake of the program", () => {
    expect(studentQuantile(0.5, 5)).toBe(0);
    expect(() => studentQuantile(0.9, 0)).toThrow("degrees of freedom");
  });
});

describe("chi-squared", () => {
  test.each([
    [1, 3.841458821],
    [5, 11.07049769],
    [12, 21.02606982],
  ])("the 95 %% point of %d degrees of freedom is %d (R)", (df, x) => {
    expect(Math.abs(chiSquaredQuantile(0.95, df) - x)).toBeLessThan(1e-8);
  });

  test.each([
    [0.05, 1, 0.003932140000019522],
    [0.025, 7, 1.689869180677355],
    [0.975, 7, 16.012764274629326],
    [0.5, 120, 119.33399578175585],
    [0.999, 3.5, 17.389858670332334],
  ])("chi-squared(%d, %d) is %d (SciPy)", (p, df, x) => {
    expect(relative(chiSquaredQuantile(p, df), x)).toBeLessThan(1e-11);
    expect(chiSquaredCdf(x, df)).toBeCloseTo(p, 12);
  });
});

describe("F", () => {
  test("five in a hundred ratios of 2 and 9 degrees of freedom lie over 4.2565 (R)", () => {
    expect(fisherTail(4.256494729, 2, 9)).toBeCloseTo(0.05, 9);
  });

  test.each([
    [0.45, 18, 60, 0.96878277993945],
    [492.291, 9, 18, 1.1630729329717417e-19],
    [79.4, 2, 18, 1.1752011285480109e-9],
    [1, 1, 1, 0.5000000000000001],
  ])("P(F > %d | %d, %d) is %d (SciPy)", (f, above, below, p) => {
    expect(relative(fisherTail(f, above, below), p)).toBeLessThan(1e-10);
  });
});
