import { detectionLimit } from "../circuit/detection-limit.ts";
import { limitOhms } from "../circuit/limit.ts";
import { type Circuit, pathWire } from "../domain/circuit.ts";
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
      return {
        meter: meter.name,
        detectionLimit: inOhms ? limit.contact : null,
        blind: limit.blind === true,
      };
    });
}

/**
 * Whether a meter would have shown the contact that takes this circuit to its limit, all others being
 * sound at their median: the largest that the limit leaves room for.
 */
export function seesLimit(pool: Pool, circuit: Circuit, { detectionLimit: least }: MeterSight) {
  const limit = limitOhms(pool, circuit.supply);
  if (limit === null || least === null) return false;
  const others = pool.contact.sound.medianOhms * (circuit.path.length - 1);
  return least <= limit - pathWire(circuit.path) - others;
}
