import { lastPoint } from "../domain/circuit.ts";
import type { Estimate } from "../domain/findings.ts";
import {
  type CircuitName,
  circuitName,
  circuitOf,
  lanesAlong,
  sameCircuit,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { soundCircuit } from "./sound-points.ts";

/** A point of a circuit that could be read. */
export interface Spot extends CircuitName {
  readonly point: string;
}

export const sameSpot = (a: Spot, b: Spot): boolean => sameCircuit(a, b) && a.point === b.point;

export const spotOf = (reading: Spot): Spot => ({ ...circuitName(reading), point: reading.point });

/** A place that is read, or cannot be reached: nothing to propose. */
type IsTaken = (spot: Spot) => boolean;

/** The last point of the nearest circuit that is not read yet: a good value there clears its whole path. */
function nearest(pool: Pool, from: CircuitName | null, isTaken: IsTaken): Spot | null {
  const along = from === null ? 0 : lanesAlong(pool.lanes, from);
  const away = (spot: Spot): number => Math.abs(lanesAlong(pool.lanes, spot) - along);
  return pool.circuits
    .map((circuit) => ({ ...circuitName(circuit), point: lastPoint(circuit) }))
    .filter((spot) => !isTaken(spot))
    .reduce<Spot | null>(
      (best, one) => (best === null || away(one) < away(best) ? one : best),
      null,
    );
}

/**
 * What to read next at once, before the diagnosis is heard: behind a value that a sound path would
 * not show, the next point of that path towards the timer, as far as no other reads as a sound path
 * would; else the nearest circuit's last point.
 */
export function nextAtOnce(
  pool: Pool,
  readings: readonly Reading[],
  isOut: IsTaken,
  emf: Estimate = nominal(pool),
): Spot | null {
  const isTaken: IsTaken = (spot) =>
    isOut(spot) || readings.some((reading) => sameSpot(reading, spot));
  const last = readings.at(-1) ?? null;
  const circuit = last === null ? undefined : circuitOf(pool, last);
  if (last !== null && circuit !== undefined && isUnexpected(pool, last, emf) !== null) {
    const spots = circuit.path.map(({ point }) => ({ ...circuitName(circuit), point }));
    const here = spots.findIndex((spot) => sameSpot(spot, last));
    const isSound = (spot: Spot): boolean => {
      const shown = readings.findLast((one) => sameSpot(one, spot));
      return shown !== undefined && isUnexpected(pool, shown, emf) === null;
    };
    const sound = spots.slice(0, here).findLastIndex(isSound);
    const before = spots.slice(sound + 1, here).findLast((spot) => !isTaken(spot));
    if (before !== undefined) return before;
  }
  return nearest(pool, last, isTaken);
}

/** A supply that nobody has read yet: what the pool file says of it, two deviations to either side. */
export const nominal = (pool: Pool): Estimate => {
  const [{ emf, emfSd } = { emf: 5, emfSd: 0.05 }] = pool.supplies;
  return { median: emf, low: emf - 2 * emfSd, high: emf + 2 * emfSd };
};

/** What a sound path would have shown here [V], where this value is none of that; else null. */
export function isUnexpected(pool: Pool, reading: Reading, emf: Estimate): number | null {
  const sound = soundCircuit(pool, emf, reading).find(({ point }) => point === reading.point);
  if (sound === undefined || reading.state === "pressed") return null;
  const { low, high, median } = sound;
  const reach = high - low;
  return reading.volts < low - reach || reading.volts > high + reach ? median : null;
}
