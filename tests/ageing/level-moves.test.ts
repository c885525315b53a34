import { expect, test } from "vitest";
import { type LevelDensity, moveLevel } from "../../src/ageing/level-moves.ts";

const law = {
  notGrowing: 0.5,
  linear: 0,
  logRate: { median: 0.1, logSd: 1e-6 },
  ohmRate: { median: 1, logSd: 1e-6 },
  scatter: 1e-9,
  steps: { perWeek: 0, touched: 0.4, rise: 0.5 },
};
const grid = { low: -4, step: 0.1, mass: new Float64Array(120) };
const at = (level: number) => {
  const mass = new Float64Array(120);
  mass[Math.round((level + 4) / 0.1)] = 1;
  return { ...grid, mass };
};
const mean = ({ low, step, mass }: LevelDensity) =>
  mass.reduce((sum, one, i) => sum + one * (low + i * step), 0);

test("half of the contacts grow by a tenth a week, half do not: by hand", () => {
  const moved = moveLevel(at(2), at(-1.6), 1, 10, law);
  expect(mean(moved)).toBeCloseTo(0.5 * 2 + 0.5 * 3, 6);
  expect(moved.mass.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 12);
});

test("growth by ohms: ten weeks of one ohm on ten", () => {
  const linear = { ...law, notGrowing: 0, linear: 1 };
  const moved = moveLevel(at(Math.log(10)), at(-1.6), 1, 10, linear);
  expect(Math.exp(mean(moved))).toBeGreaterThan(19.5);
  expect(Math.exp(mean(moved))).toBeLessThan(20.5);
});

test("what was not kept is fresh, and steps raise by their rate, share and size", () => {
  expect(mean(moveLevel(at(2), at(-1.6), 0.25, 0, law))).toBeCloseTo(0.25 * 2 - 0.75 * 1.6, 9);
  const stormy = { ...law, notGrowing: 1, steps: { perWeek: 0.05, touched: 0.4, rise: 0.5 } };
  // Compound Poisson: mean 0.05 * 0.4 * 5 * 0.5.
  expect(mean(moveLevel(at(2), at(-1.6), 1, 5, stormy))).toBeCloseTo(2.05, 2);
});
