/**
 * exp(A) of a small square matrix, row by row: A halved until its rows add to under 1/2 in size, a
 * Taylor series of 14 terms (error under 1e-15 there), then squared as often.
 *
 * Source: Moler & Van Loan, "Nineteen dubious ways to compute the exponential of a matrix,
 * twenty-five years later", SIAM Review 45 (2003) 3-49, method 3 (from memory).
 */
export function matrixExponential(matrix: Float64Array, size: number): Float64Array {
  let widest = 0;
  for (let i = 0; i < size; i++) {
    let row = 0;
    for (let j = 0; j < size; j++) row += Math.abs(matrix[i * size + j]!);
    widest = Math.max(widest, row);
  }
  const halvings = widest > 0.5 ? Math.ceil(Math.log2(widest / 0.5)) : 0;
  const small = matrix.map((value) => value / 2 ** halvings);
  let sum = identity(size);
  let term = identity(size);
  for (let n = 1; n <= TERMS; n++) {
    term = matrixProduct(term, small, size).map((value) => value / n);
    sum = sum.map((value, i) => value + term[i]!);
  }
  for (let n = 0; n < halvings; n++) sum = matrixProduct(sum, sum, size);
  return sum;
}

const TERMS = 14;

/** The matrix that changes nothing. */
export function identity(size: number): Float64Array {
  const matrix = new Float64Array(size * size);
  for (let i = 0; i < size; i++) matrix[i * size + i] = 1;
  return matrix;
}

/** The product of two square matrices, row by row. */
export function matrixProduct(a: Float64Array, b: Float64Array, size: number): Float64Array {
  const product = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let k = 0; k < size; k++) {
      const value = a[i * size + k]!;
      for (let j = 0; j < size; j++) product[i * size + j]! += value * b[k * size + j]!;
    }
  return product;
}
