import type { Meter } from "../domain/pool.ts";
import { normalCdfFast } from "../numerics/normal-table.ts";
import type { ChainPool } from "./chain-pool.ts";

/**
 * What one displayed value says about the true voltage, as a function of that voltage:
 *
 *     P(v | V) = (1 - e) * [F((v + d/2 - V)/s) - F((v - d/2 - V)/s)] + e * d / (1.1 * E_nominal)
 *
 * with `d` the display step [V], `s` the noise [V], `e` the chance of a misread value, and the
 * lower limit minus infinity where v = 0. A zero may also come from a display that was off: its
 * likelihood is `b + (1 - b) * P(0 | V)`.
 */
export interface DisplayLikelihood {
  /** The value shown [V]. */
  readonly shown: number;
  /** Half the display step [V]. */
  readonly halfStep: number;
  /** Noise [V]. */
  readonly noise: number;
  /** Weight of the part that depends on the true voltage. */
  readonly slope: number;
  /** The part that does not: misread, mistyped, or meter off. */
  readonly floor: number;
}

export function displayLikelihood(
  pool: ChainPool,
  meter: Meter,
  resolution: number,
  shown: number,
  meterOff: number,
): DisplayLikelihood {
  const off = shown === 0 ? meterOff : 0;
  const anywhere = (pool.misread * resolution) / (1.1 * pool.supply.emf);
  return {
    shown,
    halfStep: resolution / 2,
    noise: meter.noise,
    slope: (1 - off) * (1 - pool.misread),
    // Never quite 0: a pool that allows no misread value may still hold one.
    floor: Math.max(off + (1 - off) * anywhere, 1e-30),
  };
}

/** Beyond so much noise a value can only have been misread. */
const FAR = 8.5;

/** P(this display | the true voltage is `volts`). */
export function likelihoodAt(display: DisplayLikelihood, volts: number): number {
  const { shown, halfStep, noise, slope, floor } = display;
  if (shown === 0) return slope * normalCdfFast((halfStep - volts) / noise) + floor;
  const off = -Math.abs(volts - shown);
  const nearest = (off + halfStep) / noise;
  if (nearest < -FAR) return floor;
  return slope * (normalCdfFast(nearest) - normalCdfFast((off - halfStep) / noise)) + floor;
}

/**
 * Multiplies `to`, from `at` on, by P(this display | V = top / (loop + t)) for every resistance of
 * `t` [Ω], ascending; `top` is the EMF times the load [VΩ].
 */
export function multiplyLikelihoods(
  display: DisplayLikelihood,
  top: number,
  loop: number,
  t: Float64Array,
  to: Float64Array,
  at: number,
): void {
  const { shown, halfStep, noise, floor } = display;
  const most = shown + halfStep + FAR * noise;
  const least = shown === 0 ? Number.NEGATIVE_INFINITY : shown - halfStep - FAR * noise;
  for (let m = 0; m < t.length; m++) {
    const volts = top / (loop + t[m]!);
    const near = volts < most && volts > least;
    to[at + m]! *= near ? likelihoodAt(display, volts) : floor;
  }
}
