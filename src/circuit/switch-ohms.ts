import type { Estimate } from "../domain/findings.ts";
import type { Ohms, Volts } from "../domain/units.ts";
import { TO_EDGE } from "../numerics/normal.ts";
import { corners } from "./corners.ts";

/** A pressed reading, and what the resting readings of the same circuit say about its path. */
export interface PressedReading {
  /** E of the walk [V]. */
  readonly emf: Estimate;
  /** Rs, source resistance inside the timer [Ω]. */
  readonly sourceOhms: Ohms;
  /** RL of the meter, infinite for one that draws nothing [Ω]. */
  readonly loadOhms: Ohms;
  /** Series resistance up to the probed point [Ω]. */
  readonly seriesOhms: Estimate;
  /** Series resistance from the probed point on to the device [Ω]; 0 at the last point. */
  readonly beyondOhms: Estimate;
  /** What the meter showed with the switch pressed, as an interval [V]. */
  readonly reading: Estimate;
}

/**
 * Rd, the resistance of the closed switch (or of whatever lies across the device): what must hang
 * on the probed point, beside the meter, to pull the line down to the pressed reading.
 *
 *     1 / (beyond + Rd) = (E - V) / (V * (Rs + S)) - 1 / RL                (from model, section 2)
 *
 * Infinite where pressing changes nothing: the switch does not close, or the path is open in
 * front of the probed point. 0 where the interval reaches below what the path alone accounts for.
 */
export function switchOhms(pressed: PressedReading): Estimate {
  const { emf, sourceOhms, loadOhms, seriesOhms, beyondOhms, reading } = pressed;
  return corners(
    (e, series, beyond, shown) => {
      const inFront = sourceOhms + series;
      if (inFront === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY;
      return Math.max(0, hangingOhms(e, inFront, loadOhms, shown) - beyond);
    },
    [emf, seriesOhms, beyondOhms, reading],
  );
}

/** What lies beside the meter, to pull `emf` behind `inFront` down to `shown` [Ω]. */
function hangingOhms(emf: number, inFront: number, loadOhms: number, shown: number): number {
  if (shown <= 0) return 0;
  const conductance = (emf - shown) / (shown * inFront) - 1 / loadOhms;
  return conductance > 0 ? 1 / conductance : Number.POSITIVE_INFINITY;
}

/** What a display of `step` with noise says about the true voltage: median and 90 % interval. */
export function readingInterval(shown: Volts, step: Volts, noise: Volts): Estimate {
  const half = TO_EDGE * Math.hypot(noise, step / Math.sqrt(12));
  return { median: shown, low: Math.max(0, shown - half), high: shown + half };
}
