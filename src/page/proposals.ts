import type { Lane, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";

/** A point of a circuit that could be read. */
export interface Place {
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
}

export const samePlace = (a: Place, b: Place): boolean =>
  a.lane === b.lane && a.device === b.device && a.point === b.point;

/**
 * The plain order: lane by lane, device by device, the last point first, because a good reading
 * there clears the whole path before it.
 */
export function plainNext(pool: Pool, readings: readonly Reading[]): Place | null {
  const points = pool.chain.map((link) => link.point).toReversed();
  for (const point of points)
    for (const lane of pool.lanes)
      for (const device of pool.devices) {
        const place = { lane, device, point };
        if (!readings.some((reading) => samePlace(reading, place))) return place;
      }
  return null;
}
