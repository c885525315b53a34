/** The polynomial with these coefficients, lowest degree first, at `x`. */
export function polynomial(coefficients: Float64Array, x: number): number {
  let sum = 0;
  for (let n = coefficients.length - 1; n >= 0; n--) sum = sum * x + coefficients[n]!;
  return sum;
}

/** Coefficients, lowest degree first, of the polynomial through the points (Newton's form). */
export function polynomialThrough(nodes: Float64Array, values: Float64Array): Float64Array {
  const differences = values.slice();
  for (let order = 1; order < nodes.length; order++) {
    for (let i = nodes.length - 1; i >= order; i--) {
      const gap = nodes[i]! - nodes[i - order]!;
      differences[i] = (differences[i]! - differences[i - 1]!) / gap;
    }
  }
  const coefficients = new Float64Array(nodes.length);
  for (let i = nodes.length - 1; i >= 0; i--) {
    for (let n = nodes.length - 1; n > 0; n--)
      coefficients[n] = coefficients[n - 1]! - nodes[i]! * coefficients[n]!;
    coefficients[0] = differences[i]! - nodes[i]! * coefficients[0]!;
  }
  return coefficients;
}

/** Coefficients, lowest degree first, of the polynomial's integral from -1. */
export function integralOf(coefficients: Float64Array): Float64Array {
  const integral = new Float64Array(coefficients.length + 1);
  for (let n = 0; n < coefficients.length; n++) integral[n + 1] = coefficients[n]! / (n + 1);
  integral[0] = -polynomial(integral, -1);
  return integral;
}
