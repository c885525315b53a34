import { median } from "simple-statistics";
import { halfWidth, normalCdf } from "../numerics/normal.ts";

/** A trend that assumes no line and no distribution: it only counts which pairs rise. */
export interface MonotoneTrend {
  /** Median of the slopes of all pairs, per unit of x, with its confidence interval. */
  readonly slope: number;
  readonly low: number;
  readonly high: number;
  /** Kendall's S: rising pairs less falling pairs. */
  readonly score: number;
  readonly scoreVariance: number;
  /** Two-sided P of a score as far from zero if there were no trend, continuity corrected. */
  readonly pValue: number;
}

/** Sum of `f(t)` over the groups of `t` equal values. */
function overTies(values: readonly number[], f: (t: number) => number): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].reduce((sum, t) => sum + f(t), 0);
}

/**
 * Theil-Sen slope and Mann-Kendall test of `y` against `x`, `x` in ascending order; null where no
 * two `x` differ. `confidence` is that of the slope's interval.
 *
 * Sources: Sen, Journal of the American Statistical Association 63 (1968) 1379; Gilbert,
 * Statistical Methods for Environmental Pollution Monitoring (1987), chapter 16.
 */
export function monotoneTrend(
  x: readonly number[],
  y: readonly number[],
  confidence: number,
): MonotoneTrend | null {
  const n = x.length;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let count = 0;
  let score = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const run = x[j]! - x[i]!;
      if (run === 0) continue;
      const rise = y[j]! - y[i]!;
      slopes[count++] = rise / run;
      score += Math.sign(rise);
    }
  }
  if (count === 0) return null;
  const sorted = slopes.subarray(0, count).sort();
  const term = (t: number): number => t * (t - 1) * (2 * t + 5);
  const scoreVariance = (term(n) - overTies(y, term) - overTies(x, term)) / 18;
  const reach = halfWidth(confidence) * Math.sqrt(scoreVariance);
  const low = Math.max(0, Math.round((count - reach) / 2) - 1);
  const high = Math.min(count - 1, Math.round((count + reach) / 2));
  const z = scoreVariance > 0 ? Math.max(0, Math.abs(score) - 1) / Math.sqrt(scoreVariance) : 0;
  return {
    slope:
      count % 2 === 1
        ? sorted[(count - 1) / 2]!
        : median([sorted[count / 2 - 1]!, sorted[count / 2]!]),
    low: sorted[low]!,
    high: sorted[high]!,
    score,
    scoreVariance,
    pValue: 2 * normalCdf(-z),
  };
}
