import { detectionLimit } from "../circuit/detection-limit.ts";
import { mustShow } from "../circuit/limit.ts";
import type { Circuit } from "../domain/circuit.ts";
import type { MeterSight } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { volts } from "../domain/units.ts";
import type { PosedWalk } from "./walk-problem.ts";

/** What each meter that took a reading of this walk can show on this pool's path. */
export function metersSeen(
  pool: Pool,
  { order, steps }: Pick<PosedWalk, "order" | "steps">,
): readonly MeterSight[] {
  const used = new Set(order.readings.map(({ meter }) => meter));
  return pool.meters
    .filter(({ name }) => used.has(name))
    .map((meter) => {
      const limit = detectionLimit(pool, meter, volts(steps.get(meter.name)!));
      const inOhms = limit.unit === "ohm";
      const seen = { detectionLimit: inOhms ? limit.contact : null };
      // Blind is a meter by which no path can be called sound: one rule with the verdict.
      const blind = inOhms && !pool.circuits.some((circuit) => seesLimit(pool, circuit, seen));
      return { meter: meter.name, ...seen, blind };
    });
}

/** Whether a meter shows what it must for this circuit's path to be called sound. */
export const seesLimit = (
  pool: Pool,
  circuit: Circuit,
  { detectionLimit: least }: Pick<MeterSight, "detectionLimit">,
): boolean => least !== null && least <= mustShow(pool, circuit);
