/**
 * Gauss-Legendre nodes on [-1, 1], their weights, and barycentric weights for interpolating
 * through them.
 *
 * Sources: Newton iteration on the Legendre recurrence (Abramowitz & Stegun 25.4.29);
 * barycentric weights after Berrut & Trefethen, "Barycentric Lagrange interpolation",
 * SIAM Review 46 (2004) 501-517.
 */
export interface GaussRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
  readonly barycentric: Float64Array;
}

export function gaussLegendre(count: number): GaussRule {
  const nodes = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let x = -Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let turn = 0; turn < 50; turn++) {
      const { value, derivative } = legendre(count, x);
      slope = derivative;
      const step = value / derivative;
      x -= step;
      if (Math.abs(step) < 1e-16) break;
    }
    nodes[i] = x;
    weights[i] = 2 / ((1 - x * x) * slope * slope);
  }
  const barycentric = nodes.map((x, i) =>
    nodes.reduce((product, other, k) => (k === i ? product : product / (x - other)), 1),
  );
  return { nodes, weights, barycentric };
}

/** The Legendre polynomial of this degree, and its slope, at |x| < 1 (Abramowitz & Stegun 22.7.10). */
export function legendre(degree: number, x: number): { value: number; derivative: number } {
  let before = 1;
  let value = x;
  for (let n = 2; n <= degree; n++) {
    [before, value] = [value, ((2 * n - 1) * x * value - (n - 1) * before) / n];
  }
  return { value, derivative: (degree * (x * value - before)) / (x * x - 1) };
}
