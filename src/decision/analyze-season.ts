import { type DiagnosedWalk, diagnoseSeason } from "../diagnosis/diagnose-season.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import type { DatedWalk } from "../history/contact-history.ts";
import { type PoolTrend, trend } from "../history/trend.ts";
import { decide, toReadAgain } from "./decide.ts";
import type { Decision, ReadAgain } from "./decision.ts";

/** A season computed: what the charts, the report and the memo are written from. */
export interface SeasonAnalysis {
  readonly walks: readonly DiagnosedWalk[];
  /** The walk that the verdict is about. */
  readonly latest: DiagnosedWalk;
  /** Null where fewer than two walks have a date. */
  readonly trend: PoolTrend | null;
  /** Every cleaning that was scored, the oldest first. */
  readonly cleanings: readonly CleaningScore[];
  readonly decisions: readonly Decision[];
  /** Suspects that were worked on since the latest walk, and are not decided on. */
  readonly readAgain: readonly ReadAgain[];
}

const dated = (walk: DiagnosedWalk): walk is DiagnosedWalk & DatedWalk => walk.day !== null;

/**
 * Computes everything that a season's readings and work log can say: every walk, the contacts'
 * growth, what cleanings did, and what to do about the latest walk's suspects.
 *
 * @param readings of all walks; one at least, else it throws
 * @param progress told what is being done, and how much of it is behind
 */
export function analyzeSeason(
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[],
  progress: (what: string, done: number, of: number) => void = () => {},
): SeasonAnalysis {
  const walks = diagnoseSeason(pool, readings, (done, of) => progress("walks", done, of), "latest");
  const onDays = walks.filter(dated);
  const latest = walks.at(-1);
  if (latest === undefined) throw new Error("a season without a reading");
  const found = onDays.length < 2 ? null : trend(pool, onDays, work, progress);
  const cleanings = (found?.cleanings.classes ?? []).flatMap((one) => one.cleanings);
  return {
    walks,
    latest,
    trend: found,
    cleanings: cleanings.toSorted((a, b) => a.day - b.day),
    decisions: decide(pool, latest.diagnosis, found, undefined, (done, of) =>
      progress("decisions", done, of),
    ),
    readAgain: toReadAgain(latest.diagnosis, found),
  };
}
