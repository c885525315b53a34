import { median } from "simple-statistics";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { contactKey, type DatedWalk, type Observation } from "./contact-history.ts";
import type { FittedContact } from "./growth.ts";

/** What one walk read at the end of a circuit, nothing on the path having been worked on since. */
export interface EndReading {
  readonly day: number;
  /** Median of the walk's readings at rest [V]. */
  readonly volts: number;
  /** Standard deviation of that by itself: noise and rounding [V]. */
  readonly error: number;
  /** Load of the meter; 1 where nobody knows it, resistances then being multiples of it [Ω]. */
  readonly loadOhms: number;
  /** P(the path is under the pool's limit), as the walk's diagnosis has it. */
  readonly underLimit: number;
  /** P(fouled or open) by contact, in the order of the chain. */
  readonly trouble: readonly number[];
}

/**
 * The readings at the last point of one circuit, the latest first, whose contacts stand in the order
 * of the chain; `readingsByWalk` goes with `walks`.
 */
export function endReadings(
  pool: Pool,
  contacts: readonly FittedContact[],
  walks: readonly DatedWalk[],
  readingsByWalk: readonly Map<string, Reading[]>[],
): readonly EndReading[] {
  const last = contacts.at(-1)!.history;
  const seen = contacts.map(({ history }) => byWalk(history.segments.at(-1)!.observations));
  const meters = new Map(pool.meters.map((meter) => [meter.name, meter]));
  return walks
    .flatMap(({ day, diagnosis }, w): EndReading[] => {
      const readings = readingsByWalk[w]!.get(contactKey(last));
      const observations = seen.map((own) => own.get(diagnosis.walk));
      if (readings === undefined || !observations.every((one) => one !== undefined)) return [];
      const meter = meters.get(readings[0]!.meter)!;
      const own = meter.noise ** 2 + readings[0]!.step ** 2 / 12;
      const circuit = diagnosis.circuits.find((one) => sameCircuit(one, last));
      return [
        {
          day,
          volts: median(readings.map(({ volts }) => volts)),
          error: Math.sqrt(own / readings.length),
          loadOhms: meter.loadOhms ?? 1,
          underLimit: circuit?.underLimit ?? 0,
          trouble: observations.map(({ trouble }) => trouble),
        },
      ];
    })
    .reverse();
}

const byWalk = (observations: readonly Observation[]): Map<string, Observation> =>
  new Map(observations.map((one) => [one.walk, one]));

/** A reading so many of its errors under the limit is either wrong or of a path that is. */
const FAR = 5;
/** P(a path is under its limit), before any reading. */
const BEFORE = 0.01;

/**
 * P(the path is under its limit) by its latest readings, one at least, the latest first. A path that has gone
 * stays so until somebody works on it: where one walk's far too low reading may be a display that
 * was off, several in a row are none.
 */
export function underNow(readings: readonly EndReading[], limitVolts: number): number {
  const before = BEFORE / (1 - BEFORE);
  const gone = readings.findIndex(({ volts, error }) => volts + FAR * error > limitVolts);
  const alike = readings.slice(0, gone < 0 ? readings.length : Math.max(1, gone));
  const odds = alike.reduce(
    (product, { underLimit }) =>
      (product * underLimit) / Math.max(1 - underLimit, Number.EPSILON) / before,
    before,
  );
  return odds / (1 + odds);
}
