import { expect, test } from "vitest";
import {
  choleskyFactor,
  choleskyInverse,
  choleskySolve,
  factorIfPositive,
} from "../../src/numerics/cholesky.ts";

/** A textbook matrix with a factor of whole numbers (from memory). */
const matrix = Float64Array.of(4, 12, -16, 12, 37, -43, -16, -43, 98);

test("the factor of the textbook example is whole numbers", () => {
  const factor = choleskyFactor(matrix, 3);
  expect(Array.from(factor)).toEqual([2, 0, 0, 6, 1, 0, -8, 5, 3]);
});

test("what it solves, put in again, gives the right side", () => {
  const factor = choleskyFactor(matrix, 3);
  const x = choleskySolve(factor, 3, Float64Array.of(1, 2, 3));
  for (let i = 0; i < 3; i++) {
    const row = [0, 1, 2].reduce((sum, j) => sum + matrix[3 * i + j]! * x[j]!, 0);
    expect(row).toBeCloseTo(i + 1, 9);
  }
  const inverse = choleskyInverse(factor, 3);
  expect(inverse[0]).toBeCloseTo(1777 / 36, 9);
});

test("a matrix with a negative direction is refused", () => {
  expect(() => choleskyFactor(Float64Array.of(1, 2, 2, 1), 2)).toThrow("positive definite");
  expect(factorIfPositive(Float64Array.of(1, 2, 2, 1), 2)).toBeNull();
});
