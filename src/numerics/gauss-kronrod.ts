/**
 * The 7-point Kronrod rule on [-1, 1] around the 3-point Gauss rule: one set of values gives an
 * integral and, by its distance from the Gauss rule's, a bound on its error.
 *
 * Source: Kronrod, Nodes and Weights of Quadrature Formulas (1965); checked in tests against exact
 * integrals of polynomials up to degree 11.
 */
export const KRONROD_NODES = [
  -0.9604912687080202, -0.7745966692414834, -0.4342437493468026, 0, 0.4342437493468026,
  0.7745966692414834, 0.9604912687080202,
] as const;
const KRONROD_WEIGHTS = [
  0.1046562260264673, 0.2684880898683334, 0.4013974147759622, 0.4509165386584741,
  0.4013974147759622, 0.2684880898683334, 0.1046562260264673,
] as const;
const GAUSS_WEIGHTS = [0, 5 / 9, 0, 8 / 9, 0, 5 / 9, 0] as const;

/** A stretch of the axis with what its values say about the integral over it. */
export interface Stretch {
  readonly low: number;
  readonly high: number;
  readonly integral: number;
  /** How far the two rules are apart: far more than the error of `integral`. */
  readonly apart: number;
}

function stretchOf(f: (x: number) => number, low: number, high: number): Stretch {
  const half = (high - low) / 2;
  let kronrod = 0;
  let gauss = 0;
  for (const [i, x] of KRONROD_NODES.entries()) {
    const value = f(low + half * (1 + x));
    kronrod += KRONROD_WEIGHTS[i]! * value;
    gauss += GAUSS_WEIGHTS[i]! * value;
  }
  return { low, high, integral: half * kronrod, apart: Math.abs(half * (kronrod - gauss)) };
}

/**
 * The integral of a function of no sign over stretches between `borders`, each halved until its two
 * rules are no further apart than `settled` of the whole, or `deepest` times.
 */
export function integrateStretches(
  f: (x: number) => number,
  borders: readonly number[],
  settled: number,
  deepest: number,
): number {
  let stretches = borders.slice(1).map((high, i) => stretchOf(f, borders[i]!, high));
  for (let depth = 0; depth < deepest; depth++) {
    const least = settled * stretches.reduce((sum, { integral }) => sum + integral, 0);
    if (stretches.every(({ apart }) => apart <= least)) break;
    stretches = stretches.flatMap((stretch) => {
      const { low, high, apart } = stretch;
      if (apart <= least) return [stretch];
      const middle = (low + high) / 2;
      return [stretchOf(f, low, middle), stretchOf(f, middle, high)];
    });
  }
  return stretches.reduce((sum, { integral }) => sum + integral, 0);
}
