import type { Estimate } from "../domain/findings.ts";
import type { CircuitName } from "../domain/place.ts";
import { growthRows } from "./growth/growth-rows.ts";
import type { PathPasts } from "./growth/path-pasts.ts";
import { weightedQuantiles } from "./growth/weighted-quantiles.ts";

/** One way in which a contact may stand and grow. */
export interface BeliefPoint {
  /** How much of the belief is here; all points together are 1 [P]. */
  readonly weight: number;
  readonly kind: "flat" | "log" | "ohm";
  /** [ln ohm a week] or [ohm a week]; 0 where flat. */
  readonly rate: number;
  /** On the day of the forecast [Ω]. */
  readonly ohms: number;
}

/** What all walks leave open about one contact; weights add to 1. */
export interface ContactBelief extends CircuitName {
  readonly point: string;
  readonly points: readonly BeliefPoint[];
}

/** A contact on a day to come: median and 80 % interval [Ω]. */
export interface OutlookPoint {
  /** Day number [day]. */
  readonly day: number;
  readonly ohms: Estimate;
}

/** A contact's line as the walks have it. */
export interface ContactLine {
  /** Growth of ln ohms a week on the day of the forecast, 90 %, and its mean and variance. */
  readonly growth: Estimate;
  readonly meanGrowth: number;
  readonly growthVariance: number;
  /** P(it grows). */
  readonly grows: number;
  /** On the day of the forecast, 90 % [Ω]. */
  readonly ohms: Estimate;
  readonly outlook: readonly OutlookPoint[];
  readonly points: readonly BeliefPoint[];
}

/** How far ahead a contact's line is drawn [weeks], and in what steps. */
const REACH_WEEKS = 16;
const STEP_WEEKS = 2;
/** Points of a belief closer than this are one [ln]. */
const ALIKE = { rate: 0.3, level: 0.2 };

const ohmsOf = (pasts: PathPasts, at: number, weeks: number): number => {
  const { kind } = growthRows[pasts.rows[at]!]!;
  const now = Math.exp(pasts.levels[at]!);
  if (kind === "flat") return now;
  return kind === "ohm"
    ? now + pasts.rates[at]! * weeks
    : Math.exp(Math.min(20, pasts.levels[at]! + pasts.rates[at]! * weeks));
};

/** Growth as a share of itself a week. */
const relative = (pasts: PathPasts, at: number): number => {
  const { kind } = growthRows[pasts.rows[at]!]!;
  if (kind === "flat") return 0;
  return kind === "ohm" ? pasts.rates[at]! / Math.exp(pasts.levels[at]!) : pasts.rates[at]!;
};

const estimateOf = (values: Float64Array, weights: Float64Array, tail: number): Estimate => {
  const [low, median, high] = weightedQuantiles(values, weights, [tail, 0.5, 1 - tail]);
  return { median: median!, low: low!, high: high! };
};

/** One contact of a path. */
export function contactLine(pasts: PathPasts, position: number, from: number): ContactLine {
  const at = (n: number): number => n * pasts.contacts + position;
  const over = (value: (n: number) => number): Float64Array =>
    Float64Array.from({ length: pasts.count }, (_, n) => value(n));
  const growths = over((n) => relative(pasts, at(n)));
  const mean = growths.reduce((sum, growth, n) => sum + growth * pasts.weights[n]!, 0);
  const square = growths.reduce((sum, growth, n) => sum + growth ** 2 * pasts.weights[n]!, 0);
  return {
    growth: estimateOf(growths, pasts.weights, 0.05),
    meanGrowth: mean,
    growthVariance: Math.max(1e-6, square - mean * mean),
    grows: growths.reduce((sum, growth, n) => sum + (growth > 0 ? pasts.weights[n]! : 0), 0),
    ohms: estimateOf(
      over((n) => ohmsOf(pasts, at(n), 0)),
      pasts.weights,
      0.05,
    ),
    outlook: Array.from({ length: REACH_WEEKS / STEP_WEEKS + 1 }, (_, i) => ({
      day: from + 7 * STEP_WEEKS * i,
      ohms: estimateOf(
        over((n) => ohmsOf(pasts, at(n), STEP_WEEKS * i)),
        pasts.weights,
        0.1,
      ),
    })),
    points: condensed(pasts, position),
  };
}

/** Ways that are alike counted together. */
function condensed(pasts: PathPasts, position: number): readonly BeliefPoint[] {
  const cells = new Map<string, { weight: number; lnRate: number; level: number; row: number }>();
  for (let n = 0; n < pasts.count; n++) {
    const i = n * pasts.contacts + position;
    const weight = pasts.weights[n]!;
    if (weight === 0) continue;
    const { kind } = growthRows[pasts.rows[i]!]!;
    const lnRate = kind === "flat" ? 0 : Math.log(pasts.rates[i]!);
    const level = pasts.levels[i]!;
    const key = `${kind} ${Math.round(lnRate / ALIKE.rate)} ${Math.round(level / ALIKE.level)}`;
    const cell = cells.get(key) ?? { weight: 0, lnRate: 0, level: 0, row: pasts.rows[i]! };
    cells.set(key, cell);
    cell.weight += weight;
    cell.lnRate += weight * lnRate;
    cell.level += weight * level;
  }
  return [...cells.values()]
    .filter(({ weight }) => weight > 1e-6)
    .map(({ weight, lnRate, level, row }) => {
      const { kind } = growthRows[row]!;
      const rate = kind === "flat" ? 0 : Math.exp(lnRate / weight);
      return {
        weight,
        kind,
        rate,
        ohms: Math.exp(level / weight),
      };
    });
}
