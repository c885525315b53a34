import { expect, test } from "vitest";
import {
  bordersAlong,
  conditional,
  placedBy,
  productRule,
} from "../../../src/inference/nuisance/outer.ts";

const fitOf = (mean: readonly number[], root: readonly (readonly number[])[]) => ({
  mean: Float64Array.from(mean),
  root: root.map((column) => Float64Array.from(column)),
});
const flat = (mean: number, sd: number) => fitOf([mean], [[sd]]);

test("panels of one hill end at 1.7 and 5 standard deviations", () => {
  const borders = bordersAlong([flat(4.9, 0.02)], 0);
  const expected = [-5, -1.7, 1.7, 5].map((z) => 4.9 + 0.02 * z);
  for (const [i, at] of expected.entries()) expect(borders[i]).toBeCloseTo(at, 12);
  expect(borders).toHaveLength(4);
});

test("between two hills a border where both are as many standard deviations off, and none beside it", () => {
  // 0 and 9 with deviations 1 and 2: 3 is three of either's away. Marks: -5 to 5 by 1, -1 to 19 by 2.
  const borders = bordersAlong([flat(9, 2), flat(0, 1)], 0);
  const marks = [-5, -1.7, -1, 1.7, 3, 5, 5.6, 12.4, 19];
  expect(borders).toHaveLength(marks.length);
  for (const [i, at] of marks.entries()) expect(borders[i]).toBeCloseTo(at, 12);
});

test("along another axis the hill is as wide as that number is", () => {
  // Columns (0.3, 0.4), (0, 0.3): the second number's deviation is sqrt(0.16 + 0.09) = 0.5.
  const fit = fitOf(
    [1, 2],
    [
      [0.3, 0.4],
      [0, 0.3],
    ],
  );
  expect(bordersAlong([fit], 1)[3]).toBeCloseTo(4.5, 12);
  // The others follow the first: at 1.6, z = 2, the second is 2 + 0.8, and a deviation of its own more.
  const { z, point } = placedBy([fit])(1.6, [1]);
  expect(z[0]).toBeCloseTo(2, 12);
  expect(point[0]).toBeCloseTo(1.6, 12);
  expect(point[1]).toBeCloseTo(3.1, 12);
  // Of the second given the first: a normal of deviation 0.3, at its centre.
  expect(conditional(fit)).toBeCloseTo(-Math.log(0.3 * Math.sqrt(2 * Math.PI)), 12);
  expect(conditional(fit, 2)).toBe(0);
});

test("the nearest fit is the one of fewest standard deviations", () => {
  const [narrow, wide] = [flat(0, 1), flat(9, 2)];
  expect(placedBy([narrow, wide])(2.9, []).fit).toBe(narrow);
  expect(placedBy([narrow, wide])(3.1, []).fit).toBe(wide);
});

test("a product of rules has every combination, each with the product of its weights", () => {
  const rule = (nodes: readonly number[], weights: readonly number[]) => ({
    nodes: Float64Array.from(nodes),
    weights: Float64Array.from(weights),
  });
  expect(productRule([rule([-1, 1], [0.25, 0.75]), rule([3, 4], [0.5, 0.5])])).toEqual([
    { z: [-1, 3], weight: 0.125 },
    { z: [-1, 4], weight: 0.125 },
    { z: [1, 3], weight: 0.375 },
    { z: [1, 4], weight: 0.375 },
  ]);
  expect(productRule([])).toEqual([{ z: [], weight: 1 }]);
});

test("marks that a border between two hills is near to give way to it, and those near each other are one", () => {
  // Of sd 1 at 0 and sd 2 at 9: the border at (0 x 2 + 9 x 1) / 3 = 3; marks at 9 - 3.4 and 9 - 10 stay.
  const apart = [flat(0, 1), flat(9, 2)];
  const marks = [-5, -1.7, -1, 1.7, 3, 5, 5.6, 12.4, 19];
  for (const fits of [apart, [...apart].reverse()]) {
    const borders = bordersAlong(fits, 0);
    expect(borders).toHaveLength(marks.length);
    for (const [i, at] of marks.entries()) expect(borders[i]).toBeCloseTo(at, 12);
  }
  // Three alike a tenth apart: borders at 0.05 and 0.15, one of them, and a mark of each end.
  const alike = bordersAlong([flat(0.2, 1), flat(0, 1), flat(0.1, 1)], 0);
  expect(alike).toHaveLength(5);
  for (const [i, at] of [-5, -1.7, 0.05, 1.7, 5].entries()) {
    expect(Math.abs(alike[i]! - at)).toBeLessThan(0.21);
  }
  // A mark of the second at 4 - 1.7 = 2.3 is 0.3 from the border at 2: it gives way.
  const near = bordersAlong([flat(0, 1), flat(4, 1)], 0);
  expect(near.some((at) => Math.abs(at - 2.3) < 1e-9 || Math.abs(at - 1.7) < 1e-9)).toBe(false);
  expect(near.some((at) => Math.abs(at - 2) < 1e-9)).toBe(true);
});
