import { type CircuitName, circuitName, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";

/** A point of a circuit that could be read. */
export interface Spot extends CircuitName {
  readonly point: string;
}

export const sameSpot = (a: Spot, b: Spot): boolean => sameCircuit(a, b) && a.point === b.point;

/**
 * The plain order: lane by lane, device by device, the last point first, because a good reading
 * there clears the whole path before it.
 */
export function plainNext(pool: Pool, readings: readonly Reading[]): Spot | null {
  for (const point of pool.points.toReversed())
    for (const circuit of pool.circuits) {
      const spot = { ...circuitName(circuit), point };
      const passes = circuit.path.some((step) => step.point === point);
      if (passes && !readings.some((reading) => sameSpot(reading, spot))) return spot;
    }
  return null;
}
