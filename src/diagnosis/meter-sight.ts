import { detectionLimit } from "../circuit/detection-limit.ts";
import type { MeterSight } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { volts } from "../domain/units.ts";
import { displaySteps } from "./walk-model.ts";

/** What each meter that took a reading of this walk can show on this pool's path. */
export function metersSeen(pool: Pool, readings: readonly Reading[]): readonly MeterSight[] {
  const steps = displaySteps(pool, readings);
  const used = new Set(readings.map(({ meter }) => meter));
  return pool.meters
    .filter(({ name }) => used.has(name))
    .map((meter) => {
      const limit = detectionLimit(pool, meter, volts(steps.get(meter.name)!));
      return { meter: meter.name, detectionLimit: limit.contact, blind: limit.blind === true };
    });
}
