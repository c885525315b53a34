import { normalCdfFast } from "../../numerics/normal-table.ts";
import type { ReadingProblem } from "../problem.ts";

/**
 * What one displayed value says about the true voltage V, as a function of V:
 *
 *     N(v|V,s) = F((v + d/2 - V)/s) - F((v - d/2 - V)/s)          lower limit -inf at v = 0
 *     P(v|V)   = slope [(1-k) N(v|V,s) + k N(v|V,3s)] + floor
 *
 * with the display step d [V], the noise s [V] (the meter's own times the walk's scale), the share
 * k of values with three times the noise. `floor` holds what does not depend on V: misread values,
 * and, where zeros are taken one by one, a display that was off.
 */

/** How much wider the wide normal is. */
const WIDE = 3;
/** Beyond so much noise a value can only have been misread. */
const FAR = 8.5;

/** P(this value is shown | the true voltage is `volts`); `scale` multiplies the meter's noise. */
export function likelihoodAt(reading: ReadingProblem, volts: number, scale: number): number {
  const { shown, halfStep, noise, slope, tails, floor } = reading;
  const s = noise * scale;
  const reach = (tails > 0 ? WIDE : 1) * FAR * s + halfStep;
  if (volts > shown + reach || (shown > 0 && volts < shown - reach)) return floor;
  const narrow = within(shown, halfStep, volts, s);
  if (tails === 0) return slope * narrow + floor;
  const wide = within(shown, halfStep, volts, WIDE * s);
  return slope * ((1 - tails) * narrow + tails * wide) + floor;
}

/** P(the display shows this value | V), one normal. */
function within(shown: number, halfStep: number, volts: number, s: number): number {
  if (shown === 0) return normalCdfFast((halfStep - volts) / s);
  // On the left tail, where the table is exact to the last digits.
  const off = -Math.abs(volts - shown);
  return normalCdfFast((off + halfStep) / s) - normalCdfFast((off - halfStep) / s);
}

/** P(the display shows `shown` or less | V), misread values spread evenly over 0 to `fullScale`. */
export function belowAt(
  reading: ReadingProblem,
  volts: number,
  scale: number,
  shown: number,
  fullScale: number,
): number {
  const { halfStep, noise, slope, tails } = reading;
  const s = noise * scale;
  const at = shown + halfStep - volts;
  const normal = (1 - tails) * normalCdfFast(at / s) + tails * normalCdfFast(at / (WIDE * s));
  return slope * normal + (1 - slope) * Math.min(1, (shown + halfStep) / fullScale);
}
