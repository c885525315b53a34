import { normalDensity, normalQuantile } from "../normal.ts";
import { sobolPoints } from "../sobol.ts";

/** A stream of pseudo-random numbers in (0, 1): 32-bit mixing (splitmix), from a seed. */
export const stream = (seed: number): (() => number) => {
  let state = Math.imul(seed + 1, 0x9e3779b9) >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let x = state;
    x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
    x = Math.imul(x ^ (x >>> 15), 0x735a2d97);
    return ((x ^ (x >>> 15)) >>> 0) / 2 ** 32 + 2 ** -33;
  };
};

const primes = [
  2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97,
  101, 103, 107, 109, 113, 127, 131, 137, 139, 149, 151, 157, 163, 167, 173,
];
const slopes = primes.map((p) => Math.sqrt(p) % 1);

/**
 * Point `draw` of a lattice with irrational slopes (roots of primes), moved by `shift`; with a
 * random shift every point is uniform by itself, and the points of one shift lie evenly.
 */
export const latticeAt = (draw: number, axis: number, shift: number): number => {
  const x = draw * slopes[axis]! + shift;
  return Math.max(x - Math.floor(x), 2 ** -33);
};

/** A normal law over the shared numbers, each scaled to a standard normal prior. */
export interface Proposal {
  readonly mean: readonly number[];
  /** Lower triangle L with covariance L L'. */
  readonly root: readonly (readonly number[])[];
}

/** A point, and the prior's density over the drawing density. */
export interface SharedPoint {
  readonly z: readonly number[];
  readonly weight: number;
}

const priorDensity = (z: readonly number[]): number =>
  z.reduce((product, x) => product * normalDensity(x), 1);

const proposalDensity = ({ mean, root }: Proposal, z: readonly number[]): number => {
  const y: number[] = [];
  let density = 1;
  root.forEach((row, i) => {
    const rest = y.reduce((sum, x, j) => sum + row[j]! * x, 0);
    y.push((z[i]! - mean[i]! - rest) / row[i]!);
    density *= normalDensity(y[i]!) / row[i]!;
  });
  return density;
};

/** One point that lies as the prior does for every so many that lie as the proposal. */
const perPriorPoint = 8;

/**
 * Points of even nets: `count` for each proposal, and an eighth of that which lie as the prior, so
 * that nothing is missed where all proposals are thin. `count` is a power of two, at least 8.
 */
export const sharedPoints = (
  dimensions: number,
  proposals: readonly Proposal[],
  count: number,
  shift: number,
): SharedPoint[] => {
  if (dimensions === 0) return [{ z: [], weight: 1 }];
  const normals = (points: number, other: number): number[][] => {
    const net = sobolPoints(dimensions, points, other);
    return Array.from({ length: points }, (_, i) => net.map((axis) => normalQuantile(axis[i]!)));
  };
  const own = normals(count / perPriorPoint, shift + 17);
  const proposed = proposals.flatMap(({ root, mean }, p) =>
    normals(count, shift + 31 * p).map((y) =>
      root.map((row, d) => row.reduce((sum, l, e) => sum + l * y[e]!, mean[d]!)),
    ),
  );
  const total = 1 + perPriorPoint * proposals.length;
  return [...own, ...proposed].map((z) => {
    const prior = priorDensity(z);
    const drawn = proposals.reduce(
      (sum, proposal) => sum + perPriorPoint * proposalDensity(proposal, z),
      prior,
    );
    return { z, weight: (prior * total) / drawn };
  });
};

/** Normal law with the mean and, `wider` times as wide, the spread of weighted points. */
export const fitProposal = (
  points: readonly SharedPoint[],
  weights: readonly number[],
  wider: number,
): Proposal => {
  const total = weights.reduce((a, b) => a + b, 0);
  const d = points[0]!.z.length;
  const mean = Array.from({ length: d }, (_, i) =>
    points.reduce((sum, { z }, n) => sum + (weights[n]! / total) * z[i]!, 0),
  );
  const root: number[][] = [];
  for (let i = 0; i < d; i++) {
    const row: number[] = [];
    for (let j = 0; j <= i; j++) {
      let c = points.reduce(
        (sum, { z }, n) => sum + (weights[n]! / total) * (z[i]! - mean[i]!) * (z[j]! - mean[j]!),
        0,
      );
      c = c * wider ** 2 + (i === j ? 1e-4 : 0);
      const rest = row.reduce((sum, l, k) => (j === i ? sum : sum + l * root[j]![k]!), 0);
      if (i === j) row.push(Math.sqrt(Math.max(1e-6, c - row.reduce((s, l) => s + l * l, 0))));
      else row.push((c - rest) / root[j]![j]!);
    }
    root.push(row);
  }
  return { mean, root };
};
