import { type CircuitName, circuitOf, sameCircuit } from "../domain/place.ts";
import type { Reading } from "../domain/reading.ts";
import { SILENCE } from "../domain/walk-names.ts";
import { type LoggedWork, type ToDo, workKey } from "./add-work.ts";
import type { Contents } from "./contents.ts";
import { localMomentFrom } from "./local-time.ts";

/** What was worked on, and how far it is read again since. */
export interface Recheck {
  readonly work: LoggedWork;
  /** When the work was done, seconds since 1970-01-01T00:00. */
  readonly at: number;
  /** Circuits that nobody has read since. */
  readonly open: readonly CircuitName[];
  /** The walk of the latest reading since; null where nobody has read any. */
  readonly walk: string | null;
}

/** When a work that is noted now was done: after all that was read, a value of this second too. */
export const workMoment = ({ readings }: Contents, now: Date): string =>
  localMomentFrom(
    now,
    readings.map((one) => seconds(one) + 1),
  );

/** When a value that is noted now was read: not before the last work, which may stand a second ahead. */
export const readingMoment = ({ work }: Contents, now: Date): string =>
  localMomentFrom(
    now,
    work.map(({ doneAt }) => doneAt.seconds ?? 0),
  );

/** More that the result behind a work asks for. */
export interface LeftToDo {
  readonly walk: string;
  readonly others: readonly ToDo[];
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

/** Work of this page that is part of today's, the earliest first. */
const recent = (
  logged: readonly LoggedWork[],
  now: number,
): readonly Pick<Recheck, "work" | "at">[] =>
  logged
    .map((work) => ({ work, at: Date.parse(work.entered.done_at ?? "") / 1000 }))
    .filter(({ at }) => now - at < SILENCE);

/** Today's works, and what was read after each; where one place was worked on twice, the later one. */
export function rechecksOf(
  { pool, readings }: Contents,
  logged: readonly LoggedWork[],
  now: number,
): readonly Recheck[] {
  if (pool === null) return [];
  const works = recent(logged, now);
  const keys = works.map(({ work }) => workKey(work.entered));
  return works
    .filter((_, index) => !keys.includes(keys[index]!, index + 1))
    .map(({ work, at }) => {
      const since = readings.filter(
        (one) => seconds(one) >= at && work.recheck.some((name) => sameCircuit(one, name)),
      );
      const open = work.recheck.filter(
        (name) =>
          circuitOf(pool, name) !== undefined && !since.some((one) => sameCircuit(one, name)),
      );
      return { work, at, open, walk: latestOf(since)?.walk ?? null };
    });
}

/** What a result that was worked on asked for as well, and nobody has seen to yet. */
export function leftToDo(logged: readonly LoggedWork[], now: number): LeftToDo | null {
  const done = logged.map(({ entered }) => workKey(entered));
  for (const { of } of recent(logged, now).map(({ work }) => work)) {
    const others = of?.others.filter(({ key }) => !done.includes(key)) ?? [];
    if (of !== null && others.length > 0) return { walk: of.walk, others };
  }
  return null;
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
