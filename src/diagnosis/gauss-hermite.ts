/**
 * Gauss-Hermite rule for the standard normal: sum of weight * f(node) is the mean of f(Z), exact
 * for polynomials up to degree 2 count - 1.
 *
 * Source: Newton iteration on the orthonormal recurrence of the probabilists' Hermite polynomials
 * (Abramowitz & Stegun 22.7.14 and 25.4.46), roots deflated as they are found.
 */
export interface HermiteRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

export function gaussHermite(count: number): HermiteRule {
  const roots: number[] = [];
  for (let i = 0; i < count; i++) {
    let x = 2 * Math.sqrt(count) * Math.cos((Math.PI * (i + 0.7)) / (count + 0.4));
    for (let turn = 0; turn < 100; turn++) {
      const { value, derivative } = hermite(count, x);
      const pull = roots.reduce((sum, root) => sum + 1 / (x - root), 0);
      const step = value / (derivative - value * pull);
      x -= step;
      if (Math.abs(step) < 1e-15 * (1 + Math.abs(x))) break;
    }
    roots.push(x);
  }
  roots.sort((a, b) => a - b);
  return {
    nodes: Float64Array.from(roots),
    weights: Float64Array.from(roots, (x) => 1 / (count * hermite(count - 1, x).value ** 2)),
  };
}

/** The orthonormal Hermite polynomial of this degree, and its slope. */
function hermite(degree: number, x: number): { value: number; derivative: number } {
  let before = 0;
  let value = 1;
  for (let n = 1; n <= degree; n++) {
    const next = (x * value - Math.sqrt(n - 1) * before) / Math.sqrt(n);
    before = value;
    value = next;
  }
  return { value, derivative: Math.sqrt(degree) * before };
}
