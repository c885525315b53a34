import type { TestPool as Pool } from "../plain-pool.ts";
import { normalDensity } from "./normal.ts";

/** Density of the EMF's prior [1/V]. */
export const emfPrior = ({ supply }: Pool, emf: number): number =>
  normalDensity((emf - supply.emf) / supply.emfSd) / supply.emfSd;

const evenly = (low: number, high: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => low + ((high - low) * i) / (count - 1));

const scanned = 33;
const nats = 18;
const nodesPerSd = 2.5;

/**
 * Even EMF nodes over all of the posterior down to e^-18 of its peak, five to two of its
 * standard deviations, found by narrowing in. The trapezoidal rule over them converges faster than any power
 * for a density that dies at both ends.
 */
export const emfNodes = (pool: Pool, likelihood: (emf: number) => number): number[] => {
  const { emf, emfSd } = pool.supply;
  let [low, high] = [emf - 8 * emfSd, emf + 8 * emfSd];
  for (;;) {
    const nodes = evenly(low, high, scanned);
    const heights = nodes.map((e) => Math.log(emfPrior(pool, e) * likelihood(e)));
    const least = Math.max(...heights) - nats;
    const first = Math.max(heights.findIndex((h) => h > least) - 1, 0);
    const last = Math.min(heights.findLastIndex((h) => h > least) + 1, scanned - 1);
    const narrowed = (last - first) / (scanned - 1);
    [low, high] = [nodes[first]!, nodes[last]!];
    if (narrowed > 0.6) {
      const count = Math.ceil(((high - low) / spreadOf(nodes, heights)) * nodesPerSd) + 1;
      return evenly(low, high, Math.min(Math.max(count, 21), 400));
    }
  }
};

const spreadOf = (nodes: readonly number[], logHeights: readonly number[]): number => {
  const top = Math.max(...logHeights);
  const weights = logHeights.map((h) => Math.exp(h - top));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = nodes.reduce((sum, e, i) => sum + e * weights[i]!, 0) / total;
  const variance = nodes.reduce((sum, e, i) => sum + (e - mean) ** 2 * weights[i]!, 0) / total;
  return Math.max(Math.sqrt(variance), (nodes[1]! - nodes[0]!) / 2);
};

/** Log density between even nodes by the cubic through the four nearest ones. */
const refined = (logDensity: readonly number[], parts: number): number[] => {
  const last = logDensity.length - 1;
  return Array.from({ length: last * parts + 1 }, (_, i) => {
    const first = Math.min(Math.max(Math.floor(i / parts) - 1, 0), last - 3);
    const x = i / parts - first;
    const [a, b, c, d] = logDensity.slice(first, first + 4) as [number, number, number, number];
    return (
      (-a * (x - 1) * (x - 2) * (x - 3)) / 6 +
      (b * x * (x - 2) * (x - 3)) / 2 -
      (c * x * (x - 1) * (x - 3)) / 2 +
      (d * x * (x - 1) * (x - 2)) / 6
    );
  });
};

const refinement = 32;

/** Quantile of a density known at even nodes. */
export const quantileOfDensity = (
  nodes: readonly number[],
  density: readonly number[],
  p: number,
): number => {
  const fine = refined(density.map(Math.log), refinement).map(Math.exp);
  const step = (nodes[1]! - nodes[0]!) / refinement;
  const mass = fine.slice(1).map((d, i) => (d + fine[i]!) / 2);
  let wanted = p * mass.reduce((sum, m) => sum + m, 0);
  const cell = mass.findIndex((m) => {
    if (wanted <= m) return true;
    wanted -= m;
    return false;
  });
  return nodes[0]! + (cell + wanted / mass[cell]!) * step;
};
