import { dirname, join } from "node:path";
import type { DateOrder } from "../intake/sheet/date-text.ts";
import { dateWarnings, leftOutText } from "../report/date-text.ts";
import { rejectsText } from "../report/rejects-text.ts";
import type { Pool, Reading, Reject, WorkEntry } from "../rooms/domain-room.ts";
import { openSeason, type Season, type SeasonProgress } from "../rooms/season-room.ts";
import { type Io, UnusableInput } from "./command.ts";
import { exists, loadPool, loadReadings, loadWorkLog, warningLines } from "./files.ts";
import { diagnoseLongSeason } from "./long-season.ts";

/** Files that a season is made from, by name. */
export interface SeasonPaths {
  readonly pool: string;
  readonly readings: readonly string[];
  /** Left out: work.csv beside the pool file, where it is there. */
  readonly work: string | undefined;
  /** How dates are meant that can be read two ways; null where the user does not say. */
  readonly dates: DateOrder | null;
}

/** What stood in them, opened. */
export interface SeasonFiles {
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly rejects: readonly Reject[];
  readonly work: readonly WorkEntry[];
  readonly season: Season;
}

/** The work log that was named, or the one beside the pool file, which is then said in one line. */
export async function workOf(
  poolFile: string,
  named: string | undefined,
  pool: Pool,
  io: Pick<Io, "err">,
  dates: DateOrder | null,
): Promise<{ readonly entries: readonly WorkEntry[]; readonly rejected: readonly Reject[] }> {
  if (named !== undefined) return loadWorkLog(named, pool, dates);
  const beside = join(dirname(poolFile), "work.csv");
  if (!(await exists(beside))) return { entries: [], rejected: [] };
  const log = await loadWorkLog(beside, pool, dates);
  io.err(`work.csv: ${log.entries.length === 1 ? "1 entry" : `${log.entries.length} entries`}\n`);
  return log;
}

/**
 * Reads and opens a season, and says on standard error which rows cannot be used and what is worth a
 * look; files that cannot be used throw.
 */
export async function readSeasonFiles(
  paths: SeasonPaths,
  io: Io,
  progress: SeasonProgress,
): Promise<SeasonFiles> {
  const pool = await loadPool(paths.pool);
  if (paths.readings.length === 0) throw new UnusableInput("no file of readings was named");
  const { readings, rejected, warnings } = await loadReadings(
    paths.readings,
    pool,
    (share) => progress("reading", share, 1),
    paths.dates,
  );
  const names = paths.readings.join(", ");
  if (readings.length === 0) {
    io.err(rejectsText(rejected));
    throw new UnusableInput(`${names}: no row could be used as a reading`);
  }
  const work = await workOf(paths.pool, paths.work, pool, io, paths.dates);
  const walks = await diagnoseLongSeason(pool, readings, work.entries, (done, of) =>
    progress("walks", done, of),
  );
  const season = openSeason(pool, walks, work.entries, progress);
  progress("", 0, 0);
  const rejects = [...rejected, ...work.rejected];
  io.err(rejectsText(rejects));
  io.err(warningLines(warnings));
  if (season === null) throw new UnusableInput(`${names}: no reading at rest to go by`);
  io.err(leftOutText(season.undated));
  io.err(
    dateWarnings(
      season.walks.map(({ day, diagnosis }) => ({ walk: diagnosis.walk, day })),
      work.entries,
    ),
  );
  return { pool, readings, rejects, work: work.entries, season };
}
