import { type CircuitName, circuitOf, sameCircuit } from "../domain/place.ts";
import type { Reading } from "../domain/reading.ts";
import { SILENCE } from "../domain/walk-names.ts";
import type { LoggedWork } from "./add-work.ts";
import type { Contents } from "./contents.ts";

/** What was worked on and is not yet read again since. */
export interface Recheck {
  readonly work: LoggedWork;
  /** When the work was done, seconds since 1970-01-01T00:00. */
  readonly at: number;
  /** Circuits that nobody has read since. */
  readonly open: readonly CircuitName[];
}

const seconds = (reading: Reading): number => reading.takenAt?.seconds ?? Number.NEGATIVE_INFINITY;

/** The reading that was taken last; null where none has a time of day. */
const latestOf = (readings: readonly Reading[]): Reading | null =>
  readings
    .filter(({ takenAt }) => takenAt !== null && takenAt.seconds !== null)
    .reduce<Reading | null>(
      (last, one) => (last === null || seconds(one) >= seconds(last) ? one : last),
      null,
    );

/** Work of this page whose circuits wait to be read again, the earliest first. */
export function rechecksOf(
  { pool, readings }: Contents,
  logged: readonly LoggedWork[],
  now: number,
): readonly Recheck[] {
  if (pool === null) return [];
  return logged
    .map((work) => ({ work, at: Date.parse(work.entered.done_at ?? "") / 1000 }))
    .filter(({ at }) => now - at < SILENCE)
    .map(({ work, at }) => ({
      ...{ work, at },
      open: work.recheck.filter(
        (name) =>
          circuitOf(pool, name) !== undefined &&
          !readings.some((one) => sameCircuit(one, name) && seconds(one) >= at),
      ),
    }));
}

/**
 * The walk that goes on; null where a reading taken now begins a new one: after six hours of silence,
 * or where work was done on what was read, and none of it is read again yet.
 */
export function walkInHand(
  contents: Contents,
  rechecks: readonly Recheck[],
  now: number,
): string | null {
  const last = latestOf(contents.readings);
  if (last === null || now - seconds(last) > SILENCE) return null;
  const own = contents.readings.filter(({ walk }) => walk === last.walk);
  const waits = rechecks.some(({ work, at }) =>
    own.some(
      (one) => seconds(one) < at && work.recheck.some((touched) => sameCircuit(one, touched)),
    ),
  );
  return waits ? null : last.walk;
}
