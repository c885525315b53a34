import { expect, test } from "vitest";
import { likelihoodAt } from "../../../src/inference/chain/reading-likelihood.ts";
import { shownChance } from "../path-leaves.ts";
import { reading } from "../small-walks.ts";

/** A noise of 0.1 V on steps of 0.01 V: 8.5 times it and half a step are 0.855 V. */
const own = { noise: 0.1, halfStep: 0.005, tails: 0, slope: 0.9, floor: 0.003 };

test("beyond 8.5 times the noise a value can only have been misread", () => {
  const one = reading(0, 2, own);
  for (const off of [-0.856, 0.856, 2, -2]) expect(likelihoodAt(one, 2 + off, 1)).toBe(0.003);
  const nothing = reading(0, 2, { ...own, floor: 0 });
  for (const off of [-0.85, 0.85]) expect(likelihoodAt(nothing, 2 + off, 1)).toBeGreaterThan(0);
  for (const off of [-0.856, 0.856]) expect(likelihoodAt(nothing, 2 + off, 1)).toBe(0);
});

test("three times as far where some values have three times the noise", () => {
  const wide = reading(0, 2, { ...own, tails: 0.1, floor: 0 });
  for (const off of [-1.5, -0.9, 0.9, 1.5]) {
    const found = likelihoodAt(wide, 2 + off, 1);
    expect(found / shownChance(wide, 2 + off, 1)).toBeCloseTo(1, 3);
    expect(found).toBeGreaterThan(0);
  }
  for (const off of [-2.556, 2.556]) expect(likelihoodAt(wide, 2 + off, 1)).toBe(0);
});

test("a display of nothing is shown by whatever is less, however far", () => {
  const zero = reading(0, 0, { ...own, floor: 0 });
  for (const volts of [-5, -0.86, -0.5]) expect(likelihoodAt(zero, volts, 1)).toBeCloseTo(0.9, 6);
  expect(likelihoodAt(zero, 0.86, 1)).toBe(0);
});
