import { expect, test } from "vitest";
import { probabilityAboveZero } from "../../src/numerics/quadratic-ratio.ts";
import { runsOf } from "../../src/numerics/runs.ts";
import { seededNormal } from "../seeded-normal.ts";

const forms = (n: number): number[] =>
  Array.from({ length: n - 1 }, (_, k) => 4 * Math.sin((Math.PI * (k + 1)) / (2 * n)) ** 2);

// Hart 1942, Annals of Mathematical Statistics 13, 445-447: significance levels of the ratio of the
// mean square successive difference (over n - 1) to the variance (over n). From memory.
test.each([
  [4, 0.8341, 1.0406],
  [5, 0.6724, 1.0255],
  [6, 0.6738, 1.0682],
  [10, 0.8353, 1.1803],
])("von Neumann's ratio of %i values lies under Hart's levels in 1 %% and 5 %%", (n, one, five) => {
  const under = (level: number): number => {
    const v = (level * (n - 1)) / n;
    return probabilityAboveZero(forms(n).map((m) => v - m));
  };
  expect(under(one)).toBeCloseTo(0.01, 4);
  expect(under(five)).toBeCloseTo(0.05, 4);
});

// Anderson and Darling 1952, Annals of Mathematical Statistics 23, table 1: omega squared.
test.each([
  [0.3473, 0.1],
  [0.46136, 0.05],
  [0.74346, 0.01],
])("cumulative sums of a long row pass Cramér and von Mises' %f in %f", (level, p) => {
  const n = 2000;
  expect(probabilityAboveZero(forms(n).map((m) => 1 / m - level * n))).toBeCloseTo(p, 3);
});

test("one form with as much on either side is above 0 in a half", () => {
  expect(probabilityAboveZero([1, -1])).toBeCloseTo(0.5, 6);
  expect(probabilityAboveZero([1, 2])).toBeCloseTo(1, 5);
});

test("independent values have p under 0.05 in 5 %, a stretch of higher ones is seen", () => {
  const normal = seededNormal(7);
  const rows = Array.from({ length: 4000 }, () => runsOf(Array.from({ length: 12 }, normal)));
  const share = (isSo: (row: (typeof rows)[number]) => boolean) => rows.filter(isSo).length / 4000;
  expect(Math.abs(share(({ neighbours }) => neighbours < 0.05) - 0.05)).toBeLessThan(0.011);
  expect(Math.abs(share(({ level }) => level < 0.05) - 0.05)).toBeLessThan(0.011);
  const step = Array.from({ length: 40 }, (_, i) => normal() + (i < 20 ? 2 : 0));
  expect(runsOf(step).level).toBeLessThan(1e-3);
});
