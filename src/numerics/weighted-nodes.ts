/** One value of something uncertain, and the share of its distribution that it stands for. */
export interface Node {
  readonly value: number;
  readonly weight: number;
}

/**
 * Three-term recurrence of the polynomials orthogonal under a distribution:
 * `p_{k+1} = (x - centre_k) p_k - step_k p_{k-1}`, `step_0` unused.
 */
interface Recurrence {
  readonly centre: readonly number[];
  readonly step: readonly number[];
}

/** Halvings of the interval that holds a node: full double precision. */
const HALVINGS = 70;

/** How many nodes lie under `x`: sign changes of the Sturm sequence. */
function nodesUnder({ centre, step }: Recurrence, x: number): number {
  let count = 0;
  let ratio = 1;
  for (const [k, middle] of centre.entries()) {
    ratio = middle - x - (k === 0 ? 0 : (step[k] as number) / ratio);
    if (ratio === 0) ratio = Number.MIN_VALUE;
    if (ratio < 0) count += 1;
  }
  return count;
}

/** Weight of a node: the inverse sum of squares of the orthonormal polynomials there. */
function weightAt({ centre, step }: Recurrence, x: number): number {
  let [before, now] = [0, 1];
  let sum = 1;
  for (let k = 0; k + 1 < centre.length; k += 1) {
    const inner = k === 0 ? 0 : Math.sqrt(step[k] as number);
    const next =
      ((x - (centre[k] as number)) * now - inner * before) / Math.sqrt(step[k + 1] as number);
    [before, now] = [now, next];
    sum += now * now;
  }
  return 1 / sum;
}

/**
 * Gauss nodes of the distribution, ascending: with n of them every polynomial up to degree 2n - 1
 * has its exact mean. Nodes are the eigenvalues of the recurrence's tridiagonal matrix, bisected.
 *
 * Source: Golub and Welsch, "Calculation of Gauss quadrature rules", Math. Comp. 23 (1969).
 */
function gaussNodes(of: Recurrence): readonly Node[] {
  const roots = of.step.map((square, k) => (k === 0 ? 0 : Math.sqrt(square)));
  const reach = of.centre.map((_, k) => (roots[k] as number) + (roots[k + 1] ?? 0));
  const lowest = Math.min(...of.centre.map((centre, k) => centre - (reach[k] as number)));
  const highest = Math.max(...of.centre.map((centre, k) => centre + (reach[k] as number)));
  const nodes = of.centre.map((_, index) => {
    let [low, high] = [lowest, highest];
    for (let k = 0; k < HALVINGS; k += 1) {
      const middle = (low + high) / 2;
      if (nodesUnder(of, middle) > index) high = middle;
      else low = middle;
    }
    const value = (low + high) / 2;
    return { value, weight: weightAt(of, value) };
  });
  const sum = nodes.reduce((total, { weight }) => total + weight, 0);
  return nodes.map(({ value, weight }) => ({ value, weight: weight / sum }));
}

const counting = (count: number): number[] => Array.from({ length: count }, (_, k) => k);

/** Standard normal nodes by count (Hermite: centre 0, step k). */
const standardNormal = new Map<number, readonly Node[]>();

/** Gauss nodes of a normal distribution, ascending; one node where it has no spread. */
export function normalNodes(mean: number, sd: number, count: number): readonly Node[] {
  if (sd === 0 || count === 1) return [{ value: mean, weight: 1 }];
  const standard =
    standardNormal.get(count) ??
    gaussNodes({ centre: counting(count).map(() => 0), step: counting(count) });
  standardNormal.set(count, standard);
  return standard.map(({ value, weight }) => ({ value: mean + sd * value, weight }));
}

/**
 * Gauss nodes of a beta distribution, ascending. Jacobi's recurrence moved from [-1, 1] to [0, 1];
 * Abramowitz and Stegun, 22.7.1.
 */
export function betaNodes(alpha: number, beta: number, count: number): readonly Node[] {
  const [p, q] = [beta - 1, alpha - 1];
  const sum = p + q;
  const centre = counting(count).map((k) => {
    const at = 2 * k + sum;
    const jacobi = k === 0 ? (q - p) / (sum + 2) : (q * q - p * p) / (at * (at + 2));
    return (1 + jacobi) / 2;
  });
  const step = counting(count).map((k) => {
    const at = 2 * k + sum;
    if (k === 0) return 0;
    if (k === 1) return ((p + 1) * (q + 1)) / ((sum + 2) ** 2 * (sum + 3));
    return (k * (k + p) * (k + q) * (k + sum)) / (at * at * (at + 1) * (at - 1));
  });
  return gaussNodes({ centre, step });
}

/** How deep under its top a beta density is cut [ln], and the points that look for its reach. */
const DEPTH = 25;
const SCAN = 2000;

/**
 * Many equal steps of a beta distribution, ascending: for the share on one side of a threshold. In
 * the angle, `share = sin^2 angle`, its density is bounded for alpha and beta of a half and more,
 * and the steps cover only where the density is.
 */
export function betaSteps(alpha: number, beta: number, count: number): readonly Node[] {
  const logDensity = (angle: number): number =>
    (2 * alpha - 1) * Math.log(Math.sin(angle)) + (2 * beta - 1) * Math.log(Math.cos(angle));
  const whole = Math.PI / 2;
  const logs = counting(SCAN).map((k) => logDensity(((k + 0.5) / SCAN) * whole));
  const least = Math.max(...logs) - DEPTH;
  const low = (logs.findIndex((log) => log > least) / SCAN) * whole;
  const high = ((logs.findLastIndex((log) => log > least) + 1) / SCAN) * whole;
  const angles = counting(count).map((k) => low + ((k + 0.5) / count) * (high - low));
  const densities = angles.map(logDensity);
  const top = Math.max(...densities);
  const shares = densities.map((log) => Math.exp(log - top));
  const sum = shares.reduce((total, share) => total + share, 0);
  return angles.map((angle, k) => ({
    value: Math.sin(angle) ** 2,
    weight: (shares[k] as number) / sum,
  }));
}
