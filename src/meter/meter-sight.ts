import {
  type DetectionLimit,
  detectionLimit,
  oneInTwenty,
  type Risks,
} from "../circuit/detection-limit.ts";
import type { Pool } from "../domain/pool.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import type { Calibration } from "./calibrate.ts";
import type { GaugeStudy } from "./gauge-study.ts";

/** What a studied meter can show on a path, and how far that is itself uncertain. */
export interface StudiedSight {
  /** At the estimated load and noise: no contact at all where the readings show no load. */
  readonly likely: DetectionLimit;
  /** Load and noise both at the better end of their 90 % intervals. */
  readonly best: DetectionLimit;
  /** Load and noise both at the worse end of their 90 % intervals. */
  readonly worst: DetectionLimit;
  readonly risks: Risks;
}

/**
 * The detection limit of the meter that was calibrated, on a pool's path.
 *
 * @param step Display step of the meter [V].
 * @param risks Of a false alarm and of a miss; 1 minus the latter is the confidence to state.
 */
export function calibratedSight(
  pool: Pool,
  { loadOhms, noise }: Calibration,
  step: Volts,
  risks: Risks = oneInTwenty,
): StudiedSight {
  return {
    likely: limitAt(pool, ohms(loadOhms.median), noise.median, step, risks),
    best: limitAt(pool, ohms(loadOhms.low), noise.low, step, risks),
    worst: limitAt(pool, ohms(loadOhms.high), noise.high, step, risks),
    risks,
  };
}

/**
 * The same for a meter whose load is known from elsewhere, or not at all, and whose noise is the
 * repeatability of a gauge study: one person takes both readings that a step is found from.
 *
 * @param loadOhms RL; null gives the limit in units of the load [Ω].
 */
export function repeatedSight(
  pool: Pool,
  { repeatability }: GaugeStudy,
  loadOhms: Ohms | null,
  step: Volts,
  risks: Risks = oneInTwenty,
): StudiedSight {
  const rounding = step / Math.sqrt(12);
  const at = (sd: number): DetectionLimit =>
    limitAt(pool, loadOhms, Math.sqrt(Math.max(0, sd ** 2 - rounding ** 2)), step, risks);
  return {
    likely: at(repeatability.median),
    best: at(repeatability.low),
    worst: at(repeatability.high),
    risks,
  };
}

function limitAt(
  pool: Pool,
  loadOhms: Ohms | null,
  noise: number,
  step: Volts,
  risks: Risks,
): DetectionLimit {
  const meter = { name: "studied", loadOhms, resolution: step, noise: volts(noise) };
  return detectionLimit(pool, { ...meter, offAfter: [0, 0] }, step, risks);
}
