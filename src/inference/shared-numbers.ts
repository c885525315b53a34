import { TO_EDGE } from "../numerics/normal.ts";
import type { Nuisance } from "./chain/point-likelihoods.ts";
import type { UncertainOhms, WalkProblem } from "./problem.ts";

/** Median, 5 % and 95 % quantile. */
export interface Quantiles {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

/** What the walk says of the numbers that its circuits share. */
export interface SharedNumbers {
  /** By supply [V], by supply [Ω], by meter [Ω]. */
  readonly emf: readonly Quantiles[];
  readonly sourceOhms: readonly Quantiles[];
  readonly loadOhms: readonly Quantiles[];
  /** From the first reading to the last [V]; the walk's noise over the stated one. */
  readonly drift: Quantiles;
  readonly noiseScale: Quantiles;
}

type Weighed = readonly { readonly value: number; readonly weight: number }[];

/** A value of the shared numbers with its part of the posterior. */
interface SharedValue {
  readonly nuisance: Nuisance;
  readonly weight: number;
  /** As in `WeighedBranch`; absent: half. */
  readonly under?: Pick<Nuisance, "sourceOhms" | "loadOhms">;
}

export function sharedNumbers(walk: WalkProblem, nodes: readonly SharedValue[]): SharedNumbers {
  const of = (pick: (node: SharedValue) => number): Weighed =>
    nodes.map((node) => ({ value: pick(node), weight: node.weight }));
  const read = new Set(walk.circuits.map(({ supply }) => supply));
  const ofEmf = read.size > 1 ? anyShape : nearNormal;
  return {
    emf: walk.supplies.map((_, s) => ofEmf(of(({ nuisance }) => nuisance.emf[s]!))),
    drift: nearNormal(of(({ nuisance }) => nuisance.drift)),
    noiseScale: exponential(nearNormal(of(({ nuisance }) => Math.log(nuisance.noiseScale)))),
    sourceOhms: walk.supplies.map((supply, s) =>
      quantilesOfOhms(supply.sourceOhms, nodes, ({ sourceOhms }) => sourceOhms[s]!),
    ),
    loadOhms: walk.loads.map((load, m) =>
      quantilesOfOhms(load, nodes, ({ loadOhms }) => loadOhms[m]!),
    ),
  };
}

/**
 * Quantiles from the nodes' mean, variance and skewness (Cornish and Fisher's expansion, Abramowitz
 * & Stegun 26.2.49).
 */
function nearNormal(nodes: Weighed): Quantiles {
  const mean = nodes.reduce((sum, { value, weight }) => sum + weight * value, 0);
  const about = (power: number): number =>
    nodes.reduce((sum, { value, weight }) => sum + weight * (value - mean) ** power, 0);
  const sd = Math.sqrt(Math.max(0, about(2)));
  const skewness = sd > 0 ? Math.max(-1, Math.min(1, about(3) / sd ** 3)) : 0;
  const quantile = (z: number): number => mean + sd * (z + (skewness / 6) * (z * z - 1));
  return { median: quantile(0), low: quantile(-TO_EDGE), high: quantile(TO_EDGE) };
}

/** Fewer values are the nodes of a rule for what is nearly normal. */
const NODES_OF_ANY = 12;

/** Quantiles of an EMF that was followed beside another, whatever its shape. */
const anyShape = (nodes: Weighed): Quantiles =>
  new Set(nodes.map(({ value }) => value)).size < NODES_OF_ANY ? nearNormal(nodes) : stepped(nodes);

const exponential = ({ median, low, high }: Quantiles): Quantiles => ({
  median: Math.exp(median),
  low: Math.exp(low),
  high: Math.exp(high),
});

/**
 * Quantiles of a resistance that is one of a few exact values, or somewhere in panels of ln ohm at whose
 * nodes it was taken: each stands for a stretch about itself, `under` of which lies under it.
 */
function quantilesOfOhms(
  { exact }: UncertainOhms,
  nodes: readonly SharedValue[],
  pick: (of: Pick<Nuisance, "sourceOhms" | "loadOhms">) => number,
): Quantiles {
  const byValue = new Map<number, { weight: number; under: number }>();
  for (const { nuisance, weight, under } of nodes) {
    const value = pick(nuisance);
    const sofar = byValue.get(value)?.weight ?? 0;
    byValue.set(value, { weight: sofar + weight, under: under === undefined ? 0.5 : pick(under) });
  }
  const rising = [...byValue].sort(([a], [b]) => a - b);
  let below = 0;
  const reached = rising.flatMap(([value, { weight, under }]) => {
    const isExact = exact.some(({ ohms }) => ohms === value);
    const at = (isExact ? [0, 1] : [under]).map((part) => ({ value, at: below + part * weight }));
    below += weight;
    return at;
  });
  const quantile = (p: number): number => {
    const next = reached.findIndex(({ at }) => at >= p);
    const [before, after] = [reached[next - 1], reached[next]];
    if (after === undefined) return reached.at(-1)!.value;
    if (before === undefined || before.value === after.value) return after.value;
    const part = (p - before.at) / (after.at - before.at);
    if (!(before.value > 0)) return part * after.value;
    return before.value * (after.value / before.value) ** part;
  };
  return { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) };
}

/** Quantiles of a few values with their weights, a value's weight being spread around it. */
function stepped(nodes: Weighed): Quantiles {
  const byValue = new Map<number, number>();
  for (const { value, weight } of nodes) byValue.set(value, (byValue.get(value) ?? 0) + weight);
  const rising = [...byValue].sort(([a], [b]) => a - b);
  const quantile = (p: number): number => {
    let below = 0;
    let before: { value: number; at: number } | null = null;
    for (const [value, weight] of rising) {
      const at = below + weight / 2;
      if (at >= p) {
        if (before === null || weight > 0.2) return value;
        const part = (p - before.at) / (at - before.at);
        return before.value + part * (value - before.value);
      }
      if (below + weight >= p && weight > 0.2) return value;
      before = { value, at };
      below += weight;
    }
    return rising.at(-1)![0];
  };
  return { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) };
}
