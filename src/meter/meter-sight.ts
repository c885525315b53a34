import {
  type DetectionLimit,
  detectionLimit,
  oneInTwenty,
  type Risks,
} from "../circuit/detection-limit.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import { ohms, type Volts, volts } from "../domain/units.ts";
import type { Calibration } from "./calibrate.ts";

/** What a calibrated meter can show on a path, and how far that is itself uncertain. */
export interface CalibratedSight {
  /** At the estimated load and noise; where no load was found, at its lower bound: at best. */
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
  calibration: Calibration,
  step: Volts,
  risks: Risks = oneInTwenty,
): CalibratedSight {
  const { loadOhms, noise } = calibration;
  const at = (load: number, spread: number): DetectionLimit => {
    const meter: Meter = {
      name: "calibrated",
      loadOhms: ohms(load),
      resolution: step,
      noise: volts(spread),
      offAfter: [0, 0],
    };
    return detectionLimit(pool, meter, step, risks);
  };
  const load = Number.isFinite(loadOhms.median) ? loadOhms.median : loadOhms.low;
  return {
    likely: at(load, noise.median),
    best: at(loadOhms.low, noise.low),
    worst: at(loadOhms.high, noise.high),
    risks,
  };
}
