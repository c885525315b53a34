/**
 * Symmetric positive definite systems by Cholesky's factorisation, `A = L L'`; matrices are square,
 * row by row (Golub & Van Loan, Matrix Computations, 4th ed., section 4.2, from memory).
 */
export function choleskyFactor(matrix: Float64Array, size: number): Float64Array {
  const factor = factorIfPositive(matrix, size);
  if (factor === null) throw new Error("the matrix is not positive definite");
  return factor;
}

/** The same where the matrix need not be positive definite: null then. */
export function factorIfPositive(matrix: Float64Array, size: number): Float64Array | null {
  const factor = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j]!;
      for (let k = 0; k < j; k++) sum -= factor[i * size + k]! * factor[j * size + k]!;
      if (i === j) {
        if (!(sum > 0)) return null;
        factor[i * size + i] = Math.sqrt(sum);
      } else factor[i * size + j] = sum / factor[j * size + j]!;
    }
  }
  return factor;
}

/** Solves `A x = b` by A's factor. */
export function choleskySolve(factor: Float64Array, size: number, b: Float64Array): Float64Array {
  const x = Float64Array.from(b);
  for (let i = 0; i < size; i++) {
    for (let k = 0; k < i; k++) x[i]! -= factor[i * size + k]! * x[k]!;
    x[i]! /= factor[i * size + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    for (let k = i + 1; k < size; k++) x[i]! -= factor[k * size + i]! * x[k]!;
    x[i]! /= factor[i * size + i]!;
  }
  return x;
}

/** The inverse of A, by its factor. */
export function choleskyInverse(factor: Float64Array, size: number): Float64Array {
  const inverse = new Float64Array(size * size);
  const unit = new Float64Array(size);
  for (let j = 0; j < size; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = choleskySolve(factor, size, unit);
    for (let i = 0; i < size; i++) inverse[i * size + j] = column[i]!;
  }
  return inverse;
}
