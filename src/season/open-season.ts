import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { DatedWalk } from "../history/contact-history.ts";
import { type PoolTrend, trend } from "../history/trend.ts";
import type { DiagnosedWalk } from "./diagnose-season.ts";
import { latestWalk } from "./latest-walk.ts";

/**
 * A pool's walks and works, opened once: every command and the page ask here which walk is the
 * latest, what the walks before it have shown, and what was done in between.
 */
export interface Season {
  readonly pool: Pool;
  /** Every walk with a reading at rest, in the order of time; those without a date come last. */
  readonly walks: readonly DiagnosedWalk[];
  /** The walk that every verdict is about. */
  readonly latest: DiagnosedWalk;
  readonly work: readonly WorkEntry[];
  /** Walks without a date beside the latest: they say nothing about time. */
  readonly undated: readonly string[];
  /** Growth and cleanings by all dated walks; null where none has a date. One walk is enough. */
  readonly trend: PoolTrend | null;
}

/** Told what is being done, and how much of it is behind. */
export type SeasonProgress = (what: string, done: number, of: number) => void;

const isDated = (walk: DiagnosedWalk): walk is DiagnosedWalk & DatedWalk => walk.day !== null;

/** Opens a season whose walks are diagnosed; null where no walk has a reading at rest. */
export function openSeason(
  pool: Pool,
  diagnosed: readonly DiagnosedWalk[],
  work: readonly WorkEntry[],
  progress: SeasonProgress = () => {},
): Season | null {
  const walks = diagnosed.filter(({ diagnosis }) => diagnosis.contacts.length > 0);
  const latest = latestWalk(walks);
  if (latest === undefined) return null;
  const dated = walks.filter(isDated);
  return {
    pool,
    walks,
    latest,
    work,
    undated: walks
      .filter((walk) => !isDated(walk) && walk !== latest)
      .map(({ diagnosis }) => diagnosis.walk),
    trend: dated.length === 0 ? null : trend(pool, dated, work, progress),
  };
}
