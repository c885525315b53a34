import fc from "fast-check";
import { expect, test } from "vitest";
import {
  bestReplacementAge,
  hazard,
  type Life,
  meanLife,
  meanLifeUpTo,
  survival,
} from "../../src/policy/age-replacement.ts";

const worked: Life = { shape: 2.5, scale: 1000 };

/**
 * Barlow and Hunter's policy with shape 2.5, scale 1000, planned 1, breakdown 5: the worked example
 * of the Python package "reliability" (docs, "Optimal replacement time", q = 0). Verified: it prints
 * 493.19 and 0.0035, the nearest point of its 0.29993-step search grid. The root itself is computed.
 */
test("the worked example's best age is the root, not the grid point that was published", () => {
  const best = bestReplacementAge(worked, 1, 5);
  expect(Math.abs(best.age - 493.19)).toBeLessThan(0.15);
  expect(best.age).toBeCloseTo(493.046958, 5);
  expect(best.costRate).toBeCloseTo(0.003462043, 9);
  expect(best.runToBreakdownRate).toBeCloseTo(0.005635302, 9);
});

test("no age on a fine grid costs less", () => {
  const rate = (age: number): number =>
    (survival(worked, age) + 5 * (1 - survival(worked, age))) / meanLifeUpTo(worked, age);
  const best = bestReplacementAge(worked, 1, 5);
  for (let age = 1; age < 4000; age += 1)
    expect(rate(age)).toBeGreaterThanOrEqual(best.costRate - 1e-15);
});

test("mean life up to an age is the area under survival (Simpson's rule)", () => {
  for (const life of [worked, { shape: 1, scale: 3 }, { shape: 0.7, scale: 10 }])
    for (const share of [0.1, 1, 2.5]) {
      const t = share * life.scale;
      const n = 200_000;
      let sum = survival(life, 0) + survival(life, t);
      for (let k = 1; k < n; k += 1) sum += survival(life, (k * t) / n) * (k % 2 === 1 ? 4 : 2);
      const area = (sum * t) / n / 3;
      expect(Math.abs(meanLifeUpTo(life, t) / area - 1)).toBeLessThan(
        life.shape < 1 ? 1e-4 : 1e-10,
      );
    }
});

test("a life of shape 1 is exponential: mean, hazard and survival in closed form", () => {
  const life: Life = { shape: 1, scale: 4 };
  expect(meanLife(life)).toBeCloseTo(4, 12);
  expect(hazard(life, 9)).toBeCloseTo(0.25, 12);
  expect(meanLifeUpTo(life, 6)).toBeCloseTo(4 * (1 - Math.exp(-1.5)), 12);
});

test("what does not wear out, or breaks down as cheaply, is run until it breaks down", () => {
  expect(bestReplacementAge({ shape: 1, scale: 8 }, 1, 5).age).toBe(Number.POSITIVE_INFINITY);
  expect(bestReplacementAge({ shape: 0.8, scale: 8 }, 1, 5).age).toBe(Number.POSITIVE_INFINITY);
  expect(bestReplacementAge(worked, 2, 2).age).toBe(Number.POSITIVE_INFINITY);
});

test("the dearer a breakdown, the earlier the replacement, and never dearer than running on", () => {
  fc.assert(
    fc.property(
      fc.double({ min: 1.2, max: 6, noNaN: true }),
      fc.double({ min: 1.1, max: 50, noNaN: true }),
      (shape, dear) => {
        const life: Life = { shape, scale: 10 };
        const [near, far] = [
          bestReplacementAge(life, 1, dear),
          bestReplacementAge(life, 1, dear * 2),
        ];
        expect(far.age).toBeLessThanOrEqual(near.age);
        expect(near.costRate).toBeLessThanOrEqual(near.runToBreakdownRate * (1 + 1e-9));
      },
    ),
  );
});
