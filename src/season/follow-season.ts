import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import { diagnoseWalks, walksOf, walksUntil } from "./diagnose-season.ts";
import { type Opening, openSeason, type Season, type SeasonProgress } from "./open-season.ts";

/** How a season is followed. */
export interface Following extends Opening {
  /** Later walks are left out: a day number (see domain/calendar.ts) [day]. */
  readonly until?: number;
}

/**
 * A season from readings and works: walks sorted out, each diagnosed, and opened. Null where no walk has a
 * reading at rest. The command does the same with walks diagnosed on all processors.
 */
export function followSeason(
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[],
  progress: SeasonProgress = () => {},
  { until = Number.POSITIVE_INFINITY, ...opening }: Following = {},
): Season | null {
  const walks = walksUntil(walksOf(pool, readings, work), until);
  const told = (done: number, of: number): void => progress("walks", done, of);
  const diagnosed = diagnoseWalks(pool, walks, "latest", opening.keeper, told);
  return openSeason(pool, diagnosed, work, progress, opening);
}
