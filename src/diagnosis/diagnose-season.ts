import { dayNumber } from "../domain/calendar.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { diagnose } from "./diagnose.ts";

/** One walk with what its readings say. */
export interface DiagnosedWalk {
  /** Day number (see domain/calendar.ts); null where neither a reading nor its walk has a date. */
  readonly day: number | null;
  /** Seconds since 1970-01-01T00:00 of its first reading; null where only the day is known. */
  readonly seconds: number | null;
  readonly diagnosis: WalkDiagnosis;
  /** What the diagnosis was made from. */
  readonly readings: readonly Reading[];
}

/** Day of a walk: of its first dated reading, else of its own name, where that is a date. */
function dayOf(walk: string, readings: readonly Reading[]): number | null {
  const days = readings.flatMap((one) => {
    const day = one.takenAt === null ? null : dayNumber(one.takenAt.day);
    return day === null ? [] : [day];
  });
  return days.length > 0 ? Math.min(...days) : dayNumber(walk);
}

function secondsOf(readings: readonly Reading[]): number | null {
  const seconds = readings.flatMap((one) => one.takenAt?.seconds ?? []);
  return seconds.length > 0 ? Math.min(...seconds) : null;
}

/**
 * Sorts readings into their walks and diagnoses each, in the order of time; walks without a date
 * come last, in the order in which they stand in the files. `progress` is told how many are done.
 */
export function diagnoseSeason(
  pool: Pool,
  readings: readonly Reading[],
  progress: (done: number, of: number) => void = () => {},
): readonly DiagnosedWalk[] {
  const byWalk = new Map<string, Reading[]>();
  for (const one of readings) {
    const own = byWalk.get(one.walk);
    if (own === undefined) byWalk.set(one.walk, [one]);
    else own.push(one);
  }
  const last = Number.POSITIVE_INFINITY;
  return [...byWalk]
    .map(([walk, own]) => ({ own, day: dayOf(walk, own), seconds: secondsOf(own) }))
    .sort((a, b) => {
      const [one, other] = [a.day ?? last, b.day ?? last];
      return one === other ? (a.seconds ?? 0) - (b.seconds ?? 0) : one - other;
    })
    .map(({ own, day, seconds }, index) => {
      progress(index, byWalk.size);
      return { day, seconds, diagnosis: diagnose(pool, own), readings: own };
    });
}
