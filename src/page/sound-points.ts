import type { Estimate, WalkDiagnosis } from "../domain/findings.ts";
import { type CircuitName, circuitKey, circuitName, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { SoundPoint } from "../report/charts/path-profile.ts";
import { soundPath } from "../rooms/circuit-room.ts";

/** What a sound path would have shown in this walk, for each circuit that was read. */
export function soundPoints(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
): readonly SoundPoint[] {
  const circuits = new Map<string, Reading>();
  for (const one of readings) circuits.set(circuitKey(one), one);
  return [...circuits.values()].flatMap((one) => soundCircuit(pool, walk.emf, one));
}

/** The same for one circuit, as seen by the meter of this reading. */
export function soundCircuit(
  pool: Pool,
  emf: Estimate,
  reading: CircuitName & { readonly meter: string; readonly step: number },
): readonly SoundPoint[] {
  const circuit = circuitOf(pool, reading);
  const meter = pool.meters.find((one) => one.name === reading.meter) ?? pool.meters[0];
  if (meter === undefined || circuit === undefined) return [];
  const step = meter.resolution ?? reading.step;
  return soundPath(circuit, pool.contact.sound, meter, emf, step).map((one) => ({
    ...circuitName(circuit),
    ...one,
  }));
}
