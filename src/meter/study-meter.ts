import { oneInTwenty, type Risks } from "../circuit/detection-limit.ts";
import type { Pool } from "../domain/pool.ts";
import { fault, ok, type Result } from "../domain/result.ts";
import type { Ohms, Volts } from "../domain/units.ts";
import {
  type Calibration,
  type CalibrationFault,
  calibrate,
  type ResistorReading,
} from "./calibrate.ts";
import { type GaugeFault, type GaugeReading, type GaugeStudy, gaugeStudy } from "./gauge-study.ts";
import { calibratedSight, repeatedSight, type StudiedSight } from "./meter-sight.ts";

/** Everything that a sheet about a meter says. At least one of the two studies is there. */
export interface MeterStudy {
  /** From readings behind known resistors; null where the sheet has none. */
  readonly calibration: Calibration | null;
  /** From readings by several people; null where the sheet has none, or they don't balance. */
  readonly gauge: GaugeStudy | null;
  /** What the meter can show on the path. */
  readonly sight: StudiedSight;
}

/** What to study, and on which path. */
export interface MeterQuestion {
  readonly resistors: readonly ResistorReading[];
  readonly repeats: readonly GaugeReading[];
  /** Display step [V]. */
  readonly step: Volts;
  /** Source resistance of the supply that fed the resistors [Ω]. */
  readonly sourceOhms: Ohms;
  /** Load known from elsewhere, for a sheet without resistors; null where nobody knows it [Ω]. */
  readonly loadOhms: Ohms | null;
  readonly pool: Pool;
  readonly risks?: Risks;
}

/** Calibrates from resistors, compares people, and says what the meter can show. */
export function studyMeter(
  question: MeterQuestion,
): Result<MeterStudy, CalibrationFault | GaugeFault> {
  const { resistors, repeats, step, sourceOhms, loadOhms, pool, risks = oneInTwenty } = question;
  const studied = gaugeStudy(repeats);
  if (resistors.length > 0) {
    const found = calibrate(resistors, sourceOhms, step);
    if (!found.ok) return found;
    const sight = calibratedSight(pool, found.value, step, risks);
    // Whoever read the resistors alone, or each once, has a calibration and no gauge study.
    return ok({ calibration: found.value, gauge: studied.ok ? studied.value : null, sight });
  }
  if (!studied.ok) return fault(studied.error);
  const sight = repeatedSight(pool, studied.value, loadOhms, step, risks);
  return ok({ calibration: null, gauge: studied.value, sight });
}
