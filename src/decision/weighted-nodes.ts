import { gaussLegendre } from "../diagnosis/gauss-legendre.ts";

/** One value of something uncertain, and the share of its distribution that it stands for. */
export interface Node {
  readonly value: number;
  readonly weight: number;
}

/** Nodes of a density known up to a factor by its logarithm, over an interval that holds it. */
function densityNodes(
  logDensity: (x: number) => number,
  low: number,
  high: number,
  count: number,
): Node[] {
  const half = (high - low) / 2;
  const { nodes, weights } = gaussLegendre(count);
  const raw = Array.from(nodes, (node, k) => {
    const x = low + half * (1 + node);
    return { value: x, log: logDensity(x), weight: weights[k] as number };
  });
  const top = Math.max(...raw.map((node) => node.log));
  const shares = raw.map((node) => node.weight * Math.exp(node.log - top));
  const sum = shares.reduce((total, share) => total + share, 0);
  return raw.map((node, index) => ({ value: node.value, weight: (shares[index] ?? 0) / sum }));
}

/** Half width of the interval that stands for a normal distribution [standard deviations]. */
const NORMAL_REACH = 4.5;

/** Nodes of a normal distribution; one node where it has no spread. */
export function normalNodes(mean: number, sd: number, count: number): readonly Node[] {
  if (sd === 0 || count === 1) return [{ value: mean, weight: 1 }];
  const reach = NORMAL_REACH * sd;
  const logDensity = (x: number): number => -0.5 * ((x - mean) / sd) ** 2;
  return densityNodes(logDensity, mean - reach, mean + reach, count);
}

/** Points at which the reach of a beta distribution is looked for, and how deep it is cut [ln]. */
const SCAN = 2000;
const DEPTH = 25;

/**
 * ln density of a beta distribution in the angle, `share = sin^2 angle`, up to a constant. It stays
 * bounded for alpha and beta of a half and more.
 */
const angleLogDensity =
  (alpha: number, beta: number) =>
  (angle: number): number =>
    (2 * alpha - 1) * Math.log(Math.sin(angle)) + (2 * beta - 1) * Math.log(Math.cos(angle));

/** The interval of angles outside which the density is negligible. */
function angleReach(logDensity: (angle: number) => number): readonly [number, number] {
  const logs = Array.from({ length: SCAN }, (_, k) =>
    logDensity(((k + 0.5) / SCAN) * (Math.PI / 2)),
  );
  const top = Math.max(...logs);
  const first = logs.findIndex((log) => log > top - DEPTH);
  const last = logs.findLastIndex((log) => log > top - DEPTH);
  return [(first / SCAN) * (Math.PI / 2), ((last + 1) / SCAN) * (Math.PI / 2)];
}

/** Gauss nodes of a beta distribution, in ascending order: for the mean of something smooth. */
export function betaNodes(alpha: number, beta: number, count: number): readonly Node[] {
  if (count === 1) return [{ value: alpha / (alpha + beta), weight: 1 }];
  const logDensity = angleLogDensity(alpha, beta);
  const [low, high] = angleReach(logDensity);
  return densityNodes(logDensity, low, high, count)
    .map(({ value, weight }) => ({ value: Math.sin(value) ** 2, weight }))
    .sort((one, other) => one.value - other.value);
}

/** Many equal steps of a beta distribution, ascending: for the share on one side of a threshold. */
export function betaSteps(alpha: number, beta: number, count: number): readonly Node[] {
  const logDensity = angleLogDensity(alpha, beta);
  const [low, high] = angleReach(logDensity);
  const angles = Array.from({ length: count }, (_, k) => low + ((k + 0.5) / count) * (high - low));
  const logs = angles.map(logDensity);
  const top = Math.max(...logs);
  const shares = logs.map((log) => Math.exp(log - top));
  const sum = shares.reduce((total, share) => total + share, 0);
  return angles.map((angle, k) => ({
    value: Math.sin(angle) ** 2,
    weight: (shares[k] ?? 0) / sum,
  }));
}
