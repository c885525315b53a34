import { median } from "simple-statistics";

/** Mean range of two readings in standard deviations, as the published tables round it. */
const D2 = 1.128;
/** Upper limit of a range of two, in mean ranges, as the published tables round it. */
const D4 = 3.267;

/** Limits of an individuals and moving range chart. */
export interface ChartLimits {
  readonly centre: number;
  readonly low: number;
  readonly high: number;
  readonly meanRange: number;
  readonly rangeHigh: number;
}

/** Standard deviation of a normal in its median absolute deviations. */
const FROM_MEDIAN_DEVIATION = 1.4826;

/**
 * Which values stand apart from the rest, as single odd ones would: further from the median than
 * three standard deviations, judged by the median absolute deviation, which few odd values cannot
 * move, or than `least`. Their own ranges would widen the limits that they are held against.
 */
export function oddValues(values: readonly number[], least: number): readonly boolean[] {
  if (values.length < 3) return values.map(() => false);
  const centre = median([...values]);
  const deviations = values.map((value) => Math.abs(value - centre));
  const allowed = Math.max(least, 3 * FROM_MEDIAN_DEVIATION * median(deviations));
  return deviations.map((deviation) => deviation > allowed);
}

/**
 * Three-sigma limits for single values in the order in which they were taken; the scatter is
 * estimated from neighbours, so that a slow drift does not widen the limits. Null under two values.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 6.3.2.2.
 */
export function individualsLimits(values: readonly number[]): ChartLimits | null {
  if (values.length < 2) return null;
  let sum = values[0]!;
  let ranges = 0;
  for (let i = 1; i < values.length; i++) {
    sum += values[i]!;
    ranges += Math.abs(values[i]! - values[i - 1]!);
  }
  const centre = sum / values.length;
  const meanRange = ranges / (values.length - 1);
  const reach = (3 * meanRange) / D2;
  return {
    centre,
    low: centre - reach,
    high: centre + reach,
    meanRange,
    rangeHigh: D4 * meanRange,
  };
}
