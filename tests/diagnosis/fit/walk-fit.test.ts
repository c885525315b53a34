import { expect, test } from "vitest";
import { walkFit } from "../../../src/diagnosis/fit/walk-fit.ts";
import type { ReadingInference } from "../../../src/inference/circuit-sums.ts";
import type { WalkProblem } from "../../../src/inference/problem.ts";

/** Readings by number, each with P(less) + P(this) / 2 = u, and circuits that read some of them. */
function fitOf(us: readonly number[], circuits: readonly (readonly number[])[]) {
  const walk = {
    circuits: circuits.map((own) => ({ readings: [own.map((index) => ({ index }))] })),
  } as unknown as WalkProblem;
  const readings = us.map((u, index): [number, ReadingInference] => {
    const expected = { below: u - 0.0005, same: 0.001 };
    return [index, { misread: 0, off: 0, badMoment: 0, expected }];
  });
  return walkFit(walk, new Map(readings.reverse()));
}

test("a walk and its circuits by their oddest value, and which to take again", () => {
  // Two-sided: 0.8, 0.002, 0.8, 1. Šidák: 1 - 0.998^4, 1 - 0.998^2 and 1 - 0.2^2.
  const { p, circuits, worst } = fitOf([0.4, 0.001, 0.6, 0.5], [[1, 0], [2, 3], []]);
  expect(p).toBeCloseTo(1 - 0.998 ** 4, 9);
  expect(circuits[0]!.p).toBeCloseTo(1 - 0.998 ** 2, 9);
  expect(circuits[0]!.oddest).toBe(1);
  expect(circuits[1]!.p).toBeCloseTo(0.96, 9);
  expect(circuits[1]!.oddest).toBe(2);
  expect(circuits[2]).toEqual({ p: 1, oddest: -1 });
  expect(worst).toEqual([1]);
});

test("other values that are as odd as one in twenty walks are named too, the oddest first", () => {
  // 0.05 over four readings is 0.0125, two-sided: 0.006 on either side is named, 0.007 is not.
  expect(fitOf([0.006, 0.999, 0.007, 0.5], [[0, 1, 2, 3]]).worst).toEqual([1, 0]);
  const many = fitOf(new Array<number>(8).fill(0.0006), [[0]]);
  expect(many.worst).toEqual([0, 1, 2, 3, 4, 5]);
});

test("of a level that changes, the readings on either side of the change come first", () => {
  const us = Array.from({ length: 24 }, (_, i): number => (i < 11 ? 0.85 : 0.15));
  expect(fitOf(us.with(20, 0.1), []).worst).toEqual([10, 11, 20]);
});

test("a circuit's readings are held against each other in the walk's order, however they stand", () => {
  const us = Array.from({ length: 12 }, (_, i) => (i < 6 ? 0.85 : 0.15));
  const rising = us.map((_, i) => i);
  const mixed = [0, 6, 1, 7, 2, 8, 3, 9, 4, 10, 5, 11];
  const [a, b] = fitOf(us, [rising, mixed]).circuits;
  expect(a!.p).toBeLessThan(0.2);
  expect(b!.p).toBe(a!.p);
});

test("a change is looked for around the mean of all, and no more than six readings are named", () => {
  // All of them high, the first eight more so: 8 and 7 are on either side.
  const high = Array.from({ length: 24 }, (_, i): number => (i < 8 ? 0.985 : 0.55));
  expect(fitOf(high, []).worst.slice(0, 2)).toEqual([7, 8]);
  const far = Array.from({ length: 24 }, (_, i): number => (i < 12 ? 0.9995 : 0.0005));
  const { worst } = fitOf(far, []);
  expect(worst.slice(0, 2)).toEqual([11, 12]);
  expect(worst).toHaveLength(6);
});
