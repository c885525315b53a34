import { seriesOhmsFromReading } from "../circuit/divider.ts";
import { limitVolts } from "../circuit/limit.ts";
import { pathWire, sourceOr0 } from "../domain/circuit.ts";
import type { Estimate } from "../domain/findings.ts";
import { type CircuitName, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { ohms, volts } from "../domain/units.ts";

/** A contact as far as its share of a path goes. */
interface PathContact extends CircuitName {
  readonly point: string;
  readonly ohms: Estimate;
}

/**
 * Resistance at which one contact alone, the others of its path staying at their medians, takes the
 * last point's reading down to the facility's limit [Ω]. Null where the path is under the limit
 * without it, or where the first meter's load is not known.
 *
 * @param contacts all contacts of the same circuit
 * @param emf supply [V]
 */
export function limitOhms(
  pool: Pool,
  contacts: readonly PathContact[],
  point: string,
  emf: number,
): number | null {
  const circuit = contacts[0] === undefined ? undefined : circuitOf(pool, contacts[0]);
  const load = pool.meters[0]?.loadOhms ?? null;
  const limit = limitVolts(pool);
  if (circuit === undefined || limit === null) return null;
  if (load === null || !Number.isFinite(load)) return null;
  const source = sourceOr0(circuit.supply);
  const allowed = seriesOhmsFromReading(volts(emf), load, source, limit);
  const wires = pathWire(circuit.path);
  const others = contacts
    .filter((one) => one.point !== point)
    .reduce((sum, one) => sum + one.ohms.median, 0);
  const room = ohms(allowed - wires - others);
  return room > 0 ? room : null;
}
