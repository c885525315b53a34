import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { DatedWalk } from "../history/contact-history.ts";
import { type PoolTrend, trend } from "../history/trend.ts";
import { type DiagnosedWalk, diagnosed } from "./diagnose-season.ts";
import { startOf } from "./inform-walk.ts";
import { type AskSeason, askOnce, type Keeper, noKeeper } from "./keeper.ts";
import { latestWalk } from "./latest-walk.ts";

/**
 * A pool's walks and works, opened once: every command and the page ask here which walk is the
 * latest, what the walks before it have shown, and what was done in between.
 */
export interface Season {
  readonly pool: Pool;
  /**
   * Every walk with a reading at rest, in the order of time; those without a date come last. Each
   * diagnosed alone but the latest.
   */
  readonly walks: readonly DiagnosedWalk[];
  /** The walk that every verdict is about, informed by those before it. */
  readonly latest: DiagnosedWalk;
  readonly work: readonly WorkEntry[];
  /** Walks without a date beside the latest: they say nothing about time. */
  readonly undated: readonly string[];
  /** Growth and cleanings by all dated walks; null where none has a date. One walk is enough. */
  readonly trend: PoolTrend | null;
  /** What was found from all of this before is not found again. */
  readonly ask: AskSeason;
}

/** Told what is being done, and how much of it is behind. */
export type SeasonProgress = (what: string, done: number, of: number) => void;

/** How a season is opened. */
export interface Opening {
  /** The latest walk by its own readings alone. */
  readonly alone?: boolean;
  readonly keeper?: Keeper;
}

const isDated = (walk: DiagnosedWalk): walk is DiagnosedWalk & DatedWalk => walk.day !== null;

/**
 * Opens a season whose walks are diagnosed, each alone; null where no walk has a reading at rest. The
 * latest is diagnosed once more from what the others left, unless it is to stand alone.
 */
export function openSeason(
  pool: Pool,
  diagnosed: readonly DiagnosedWalk[],
  work: readonly WorkEntry[],
  progress: SeasonProgress = () => {},
  { alone = false, keeper = noKeeper }: Opening = {},
): Season | null {
  const walks = diagnosed.filter(({ diagnosis }) => diagnosis.contacts.length > 0);
  const last = latestWalk(walks);
  if (last === undefined) return null;
  const before = walks.slice(0, walks.indexOf(last));
  const latest = alone ? last : informed(pool, before, last, work, keeper);
  const dated = walks
    .filter(isDated)
    .map((walk) => (walk === last ? { ...walk, informed: latest.diagnosis } : walk));
  const read = walks.map(({ day, seconds, readings }) => [day, seconds, readings]);
  const ask: AskSeason = (what, more, find) =>
    askOnce(keeper, { what, walk: null, from: [pool, read, work, alone, ...more] }, find);
  return {
    pool,
    walks: walks.map((walk) => (walk === last ? latest : walk)),
    latest,
    work,
    undated: walks
      .filter((walk) => !isDated(walk) && walk !== last)
      .map(({ diagnosis }) => diagnosis.walk),
    trend: dated.length === 0 ? null : ask("trend", [], () => trend(pool, dated, work, progress)),
    ask,
  };
}

/** A walk diagnosed from what the walks before it left. */
function informed(
  pool: Pool,
  before: readonly DiagnosedWalk[],
  walk: DiagnosedWalk,
  work: readonly WorkEntry[],
  keeper: Keeper,
): DiagnosedWalk {
  const start = startOf(pool, before, work, walk, (one) => one);
  return start === null ? walk : { ...walk, diagnosis: diagnosed(pool, walk, true, start, keeper) };
}
