import { normalCdf, TO_EDGE } from "../numerics/normal.ts";
import type { Nuisance } from "./chain/point-likelihoods.ts";
import type { Stretch, Stretches } from "./nuisance/branches.ts";
import { keyOf } from "./nuisance/coordinates.ts";
import type { WalkProblem } from "./problem.ts";

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
  /** As in `WeighedBranch`; absent: all are exact. */
  readonly stretches?: Stretches;
}

export function sharedNumbers(walk: WalkProblem, nodes: readonly SharedValue[]): SharedNumbers {
  const of = (pick: (node: SharedValue) => number): Weighed => weighed(nodes, pick);
  const read = new Set(walk.circuits.map(({ supply }) => supply));
  const ofEmf = (s: number): Quantiles => {
    const emf = ({ nuisance }: SharedValue): number => nuisance.emf[s]!;
    return read.size > 1 ? anyShape(of(emf)) : mixed(byOhms(nodes).map((own) => weighed(own, emf)));
  };
  return {
    emf: walk.supplies.map((_, s) => ofEmf(s)),
    drift: nearNormal(of(({ nuisance }) => nuisance.drift)),
    noiseScale: exponential(nearNormal(of(({ nuisance }) => Math.log(nuisance.noiseScale)))),
    sourceOhms: walk.supplies.map((_, s) =>
      quantilesOfOhms(nodes, ({ sourceOhms }) => sourceOhms[s]!),
    ),
    loadOhms: walk.loads.map((_, m) => quantilesOfOhms(nodes, ({ loadOhms }) => loadOhms[m]!)),
  };
}

const weighed = (nodes: readonly SharedValue[], pick: (node: SharedValue) => number): Weighed =>
  nodes.map((node) => ({ value: pick(node), weight: node.weight }));

/** The nodes of each source and load by themselves: E is nearly normal given these, and not else. */
function byOhms(nodes: readonly SharedValue[]): readonly (readonly SharedValue[])[] {
  const found = new Map<string, SharedValue[]>();
  for (const node of nodes) {
    const key = keyOf(node.nuisance);
    const own = found.get(key) ?? [];
    own.push(node);
    found.set(key, own);
  }
  return [...found.values()];
}

/** A distribution that is nearly normal, by the mean, variance and skewness of its nodes. */
interface NearNormal {
  readonly weight: number;
  readonly mean: number;
  readonly sd: number;
  readonly skewness: number;
}

function momentsOf(nodes: Weighed): NearNormal {
  const weight = nodes.reduce((sum, one) => sum + one.weight, 0);
  const mean = nodes.reduce((sum, one) => sum + one.weight * one.value, 0) / weight;
  const about = (power: number): number =>
    nodes.reduce((sum, one) => sum + one.weight * (one.value - mean) ** power, 0) / weight;
  const sd = Math.sqrt(Math.max(0, about(2)));
  const skewness = sd > 0 ? Math.max(-1, Math.min(1, about(3) / sd ** 3)) : 0;
  return { weight, mean, sd, skewness };
}

/** Cornish and Fisher's expansion (Abramowitz & Stegun 26.2.49). */
const quantileOf = ({ mean, sd, skewness }: NearNormal, z: number): number =>
  mean + sd * (z + (skewness / 6) * (z * z - 1));

function nearNormal(nodes: Weighed): Quantiles {
  const own = momentsOf(nodes);
  return {
    median: quantileOf(own, 0),
    low: quantileOf(own, -TO_EDGE),
    high: quantileOf(own, TO_EDGE),
  };
}

/** P(no more than x): the expansion solved for z. */
function shareUnder({ mean, sd, skewness }: NearNormal, x: number): number {
  if (!(sd > 0)) return x < mean ? 0 : 1;
  const bend = skewness / 6;
  const along = (x - mean) / sd + bend;
  const square = 1 + 4 * bend * along;
  // Beyond the expansion's turning point.
  if (square < 0) return bend > 0 ? 0 : 1;
  return normalCdf((2 * along) / (1 + Math.sqrt(square)));
}

/** Quantiles of several such distributions added up. */
function mixed(parts: readonly Weighed[]): Quantiles {
  if (parts.length === 1) return nearNormal(parts[0]!);
  const all = parts.map(momentsOf).filter(({ weight }) => weight > 0);
  const total = all.reduce((sum, { weight }) => sum + weight, 0);
  const ends = all.flatMap((one) => [quantileOf(one, -FAR), quantileOf(one, FAR)]);
  const quantile = (p: number): number => {
    let [low, high] = [Math.min(...ends), Math.max(...ends)];
    for (let turn = 0; turn < TURNS; turn++) {
      const middle = (low + high) / 2;
      const under = all.reduce((sum, one) => sum + one.weight * shareUnder(one, middle), 0);
      if (under < p * total) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  return { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) };
}

/** Beyond so many standard deviations no quantile lies; so often is the way there halved. */
const FAR = 2.9;
const TURNS = 30;

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

type Pick = <One>(of: { sourceOhms: readonly One[]; loadOhms: readonly One[] }) => One;

/**
 * Quantiles of a resistance that is one of a few exact values, or somewhere in the stretches of ln ohm
 * that nodes stand for: each node's weight lies evenly over its own.
 */
function quantilesOfOhms(nodes: readonly SharedValue[], pick: Pick): Quantiles {
  const parts = new Map<string, Stretch & { weight: number }>();
  for (const { nuisance, weight, stretches } of nodes) {
    const value = pick(nuisance);
    const { low, high } = stretches === undefined ? { low: value, high: value } : pick(stretches);
    const key = `${low} ${high}`;
    parts.set(key, { low, high, weight: weight + (parts.get(key)?.weight ?? 0) });
  }
  const all = [...parts.values()];
  const total = all.reduce((sum, { weight }) => sum + weight, 0);
  const ends = [...new Set(all.flatMap(({ low, high }) => [low, high]))].sort((a, b) => a - b);
  /** Up to an end, with what lies exactly there and without. */
  const reached = ends.map((end) => {
    let [before, at] = [0, 0];
    for (const { low, high, weight } of all) {
      if (low > end) continue;
      const part = high > end ? Math.log(end / low) / Math.log(high / low) : 1;
      at += part * weight;
      if (low !== high || low < end) before += part * weight;
    }
    return { end, before, at };
  });
  const quantile = (p: number): number => {
    const next = reached.findIndex(({ at }) => at >= p * total);
    const [last, { end, before }] = [reached[next - 1], reached.at(next)!];
    if (last === undefined || before < p * total) return end;
    return last.end * (end / last.end) ** ((p * total - last.at) / (before - last.at));
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
