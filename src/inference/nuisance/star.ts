import { along, logDensity, type NormalFit } from "./normal-fit.ts";

/** A node of an integral over the shared numbers, what was found there, and its weight. */
export interface WeightedNode<Found> {
  readonly point: Float64Array;
  readonly found: Found;
  /** Sums to 1 over all nodes; of the centre of a star it may be negative. */
  readonly weight: number;
  /** Its weight where one node has to stand for a star: sums to 1 as well. */
  readonly alone: number;
}

/** The integral of exp(log posterior) and its nodes. */
export interface Integral<Found> {
  readonly logMass: number;
  readonly nodes: readonly WeightedNode<Found>[];
  /** Quantiles of the first number by itself, where they were found on the way. */
  readonly first?: { readonly median: number; readonly low: number; readonly high: number };
}

/** What is integrated: ln of the unnormalised posterior, with what else was found on the way. */
export interface Evaluated<Found> {
  readonly logPosterior: number;
  readonly found: Found;
}

/** Distance of a star's points from its centre: that of the three-node Gauss-Hermite rule. */
const REACH = Math.sqrt(3);
/** How far the normal may be off, in its standard deviations and in its variance. */
const OFF_CENTRE = 0.35;
const OFF_WIDTH = 0.3;
const WIDEST_STEP = 1.6;
const ATTEMPTS = 5;
/** How far ln(posterior / normal) may be from a sum over the axes at a diagonal point. */
const OFF_DIAGONAL = 0.35;

/**
 * Integrates a nearly normal posterior over a few numbers by a star of 2n + 1 nodes: the centre and
 * two on each axis of a normal laid on it. With delta_i = ln(posterior / normal) along axis i,
 *
 *     integral = posterior/normal (centre) * product_i (2/3 + (e^delta_i+ + e^delta_i-) / 6)
 *
 * the three-node rule of each axis where the ratio is a product over axes, which two diagonal
 * nodes check (cubature of degree 3: Davis and Rabinowitz 1984, section 5.6, from memory). Null
 * where the posterior is not nearly normal, unless it comes to so little that a star will do.
 *
 * @param least ln of a mass below which a rough integral is good enough.
 */
export function starIntegral<Found>(
  start: NormalFit,
  evaluate: (points: readonly Float64Array[]) => readonly Evaluated<Found>[],
  least = Number.NEGATIVE_INFINITY,
): Integral<Found> | null {
  let fit = start;
  let rough: Integral<Found> | null = null;
  const n = fit.mean.length;
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const zs = starPoints(n);
    const points = zs.map((z) => along(fit, z));
    const found = evaluate(points);
    const ratios = found.map(({ logPosterior }, i) => logPosterior - logDensity(fit, zs[i]!));
    const axes = Array.from({ length: n }, (_, i) => axisOf(ratios, i));
    const far = axes.some(
      ({ mean, variance }) => Math.abs(mean) > OFF_CENTRE || Math.abs(variance - 1) > OFF_WIDTH,
    );
    rough = starOf(points, found, ratios[0]!, axes);
    if (far) {
      fit = moved(fit, axes);
      continue;
    }
    const diagonal = diagonalPoints(n);
    const checked = evaluate(diagonal.map((z) => along(fit, z)));
    const off = diagonal.map((z, i) => {
      const ratio = checked[i]!.logPosterior - logDensity(fit, z) - ratios[0]!;
      return Math.abs(ratio - axes.reduce((sum, axis, k) => sum + alongAxis(axis, z[k]!), 0));
    });
    if (Math.max(0, ...off) <= OFF_DIAGONAL) return rough;
    break;
  }
  return rough !== null && rough.logMass < least ? rough : null;
}

/** The centre, then both nodes of each axis. */
const starPoints = (n: number): readonly number[][] => [
  new Array<number>(n).fill(0),
  ...Array.from({ length: 2 * n }, (_, k) =>
    Array.from({ length: n }, (_, i) => (i === k >> 1 ? (k % 2 === 0 ? REACH : -REACH) : 0)),
  ),
];

/** Two points that all axes have a part in; one axis alone needs none. */
const diagonalPoints = (n: number): readonly number[][] =>
  n < 2
    ? []
    : [new Array<number>(n).fill(1), Array.from({ length: n }, (_, i) => (i % 2 ? 1 : -1))];

interface Axis {
  readonly up: number;
  readonly down: number;
  /** The axis's factor of the integral, and weights of its two outer nodes. */
  readonly mass: number;
  readonly upWeight: number;
  readonly downWeight: number;
  readonly mean: number;
  readonly variance: number;
}

function axisOf(ratios: readonly number[], i: number): Axis {
  const up = Math.min(20, ratios[1 + 2 * i]! - ratios[0]!);
  const down = Math.min(20, ratios[2 + 2 * i]! - ratios[0]!);
  const mass = 2 / 3 + (Math.exp(up) + Math.exp(down)) / 6;
  const upWeight = Math.exp(up) / 6 / mass;
  const downWeight = Math.exp(down) / 6 / mass;
  const mean = REACH * (upWeight - downWeight);
  return {
    up,
    down,
    mass,
    upWeight,
    downWeight,
    mean,
    variance: 3 * (upWeight + downWeight) - mean * mean,
  };
}

/** The parabola through an axis's three nodes. */
const alongAxis = ({ up, down }: Axis, z: number): number =>
  ((up - down) / (2 * REACH)) * z + ((up + down) / 6) * z * z;

function moved(fit: NormalFit, axes: readonly Axis[]): NormalFit {
  const mean = along(
    fit,
    axes.map((axis) => axis.mean),
  );
  const root = fit.root.map((column, i) => {
    const width = Math.sqrt(Math.max(axes[i]!.variance, 0.05));
    return column.map((x) => x * Math.max(1 / WIDEST_STEP, Math.min(WIDEST_STEP, width)));
  });
  return { mean, root };
}

function starOf<Found>(
  points: readonly Float64Array[],
  found: readonly Evaluated<Found>[],
  centre: number,
  axes: readonly Axis[],
): Integral<Found> {
  const logMass = axes.reduce((sum, { mass }) => sum + Math.log(mass), centre);
  const outer = axes.flatMap(({ upWeight, downWeight }) => [upWeight, downWeight]);
  const weights = [1 - outer.reduce((sum, weight) => sum + weight, 0), ...outer];
  return {
    logMass,
    nodes: points.map((point, i) => ({
      point,
      found: found[i]!.found,
      weight: weights[i]!,
      alone: i === 0 ? 1 : 0,
    })),
  };
}
