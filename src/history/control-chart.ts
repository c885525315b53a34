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
