/** The polynomial with these coefficients, lowest degree first, at `x`. */
export function polynomial(coefficients: readonly number[], x: number): number {
  let sum = 0;
  for (let n = coefficients.length - 1; n >= 0; n--) sum = sum * x + coefficients[n]!;
  return sum;
}

/** Coefficients, lowest degree first, of the polynomial through the points (Newton's form). */
export function polynomialThrough(
  nodes: readonly number[],
  values: readonly number[],
): readonly number[] {
  const differences = [...values];
  for (let order = 1; order < nodes.length; order++) {
    for (let i = nodes.length - 1; i >= order; i--) {
      const gap = nodes[i]! - nodes[i - order]!;
      differences[i] = (differences[i]! - differences[i - 1]!) / gap;
    }
  }
  let coefficients: number[] = [];
  for (let i = nodes.length - 1; i >= 0; i--) {
    const raised = [0, ...coefficients];
    coefficients = raised.map((c, n) => c - nodes[i]! * (coefficients[n] ?? 0));
    coefficients[0]! += differences[i]!;
  }
  return coefficients;
}

/** Coefficients, lowest degree first, of the polynomial's integral from -1. */
export function integralOf(coefficients: readonly number[]): readonly number[] {
  const integral = [0, ...coefficients.map((c, n) => c / (n + 1))];
  integral[0] = -polynomial(integral, -1);
  return integral;
}

/** Where between -1 and 1 a polynomial that rises from 0 at -1 reaches `target`. */
export function whereReached(rising: readonly number[], target: number): number {
  let [left, right] = [-1, 1];
  for (let turn = 0; turn < 40; turn++) {
    const middle = (left + right) / 2;
    if (polynomial(rising, middle) < target) left = middle;
    else right = middle;
  }
  return left;
}
