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
