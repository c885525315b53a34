/**
 * A Gauss rule for a distribution: sum of weight * f(node) is the mean of f, exact for polynomials
 * up to degree 2 count - 1. Nodes ascend, weights sum to 1.
 */
export interface GaussRule {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
}

/**
 * The three-term recurrence of a distribution's orthonormal polynomials,
 *
 *     beside[n + 1] p_(n+1)(x) = (x - middle[n]) p_n(x) - beside[n] p_(n-1)(x)
 *
 * `beside[0]` goes unused.
 */
interface Recurrence {
  readonly middle: Float64Array;
  readonly beside: Float64Array;
}

/** For the standard normal (Abramowitz & Stegun 22.7.14 and 25.4.46). */
export const gaussHermite = (count: number): GaussRule =>
  gaussRule({
    middle: new Float64Array(count),
    beside: Float64Array.from({ length: count }, (_, n) => Math.sqrt(n)),
  });

/**
 * For a distribution of many points: the few nodes that stand for all of them. `count` is at most
 * the number of points; weights need not sum to 1.
 */
export function condensedRule(
  points: Float64Array,
  weights: Float64Array,
  count: number,
): GaussRule {
  return gaussRule(recurrenceOf(points, weights, count));
}

/** The Stieltjes procedure (Gautschi, Orthogonal Polynomials, 2004, section 2.2). */
function recurrenceOf(points: Float64Array, weights: Float64Array, count: number): Recurrence {
  const middle = new Float64Array(count);
  const beside = new Float64Array(count);
  const mean = (of: (i: number) => number): number =>
    weights.reduce((sum, weight, i) => sum + weight * of(i), 0);
  const total = mean(() => 1);
  let before = new Float64Array(points.length);
  let here = new Float64Array(points.length).fill(1 / Math.sqrt(total));
  for (let n = 0; n < count; n++) {
    const shift = mean((i) => points[i]! * here[i]! * here[i]!);
    middle[n] = shift;
    const next = here.map((value, i) => (points[i]! - shift) * value - beside[n]! * before[i]!);
    const size = Math.sqrt(mean((i) => next[i]! * next[i]!));
    if (n + 1 < count) beside[n + 1] = size;
    before = here;
    here = next.map((value) => value / size);
  }
  return { middle, beside };
}

/**
 * Nodes are the eigenvalues of the recurrence's matrix, found by bisection on how many lie under a
 * value; weights are the reciprocals of the sums of squared polynomials (Golub & Welsch 1969).
 */
function gaussRule(recurrence: Recurrence): GaussRule {
  const { middle, beside } = recurrence;
  const reach = middle.map((value, n) => Math.abs(value) + beside[n]! + (beside[n + 1] ?? 0));
  const bound = Math.max(...reach);
  const nodes = middle.map((_, index) => {
    let [low, high] = [-bound, bound];
    for (let turn = 0; turn < 60; turn++) {
      const at = (low + high) / 2;
      if (countUnder(recurrence, at) > index) high = at;
      else low = at;
    }
    return (low + high) / 2;
  });
  return { nodes, weights: nodes.map((x) => 1 / sumOfSquares(recurrence, x)) };
}

/** How many eigenvalues lie under `x`: the negative pivots of the matrix less x (Sturm). */
function countUnder({ middle, beside }: Recurrence, x: number): number {
  let count = 0;
  let pivot = 1;
  for (let n = 0; n < middle.length; n++) {
    pivot = middle[n]! - x - (n === 0 ? 0 : beside[n]! ** 2 / pivot);
    if (pivot === 0) pivot = -Number.EPSILON;
    if (pivot < 0) count++;
  }
  return count;
}

function sumOfSquares({ middle, beside }: Recurrence, x: number): number {
  let before = 0;
  let here = 1;
  let sum = 1;
  for (let n = 0; n + 1 < middle.length; n++) {
    const next = ((x - middle[n]!) * here - (n === 0 ? 0 : beside[n]!) * before) / beside[n + 1]!;
    before = here;
    here = next;
    sum += here * here;
  }
  return sum;
}
