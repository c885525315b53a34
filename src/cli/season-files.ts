import type { Pool, Reading, Reject, WorkEntry } from "../analyze.ts";
import { rejectsText } from "../report/check-text.ts";
import { type Io, UnusableInput } from "./command.ts";
import { loadPool, loadReadings, loadWorkLog, warningLines } from "./files.ts";

/** Files that a season's charts, report and memo are made from, by name. */
export interface SeasonPaths {
  readonly pool: string;
  readonly readings: readonly string[];
  readonly work: string | undefined;
}

/** What stood in them. */
export interface SeasonFiles {
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly rejects: readonly Reject[];
  readonly work: readonly WorkEntry[];
}

/**
 * Reads all files of a season, and says on standard error which rows cannot be used and what is
 * worth a look; files that cannot be used throw.
 */
export async function readSeasonFiles(paths: SeasonPaths, io: Io): Promise<SeasonFiles> {
  const pool = await loadPool(paths.pool);
  if (paths.readings.length === 0) throw new UnusableInput("no file of readings was named");
  const { readings, rejected, warnings } = await loadReadings(paths.readings, pool);
  if (readings.length === 0) {
    io.err(rejectsText(rejected));
    throw new UnusableInput(`${paths.readings.join(", ")}: no row could be used as a reading`);
  }
  io.err(warningLines(warnings));
  const log = paths.work === undefined ? null : await loadWorkLog(paths.work, pool);
  const rejects = [...rejected, ...(log?.rejected ?? [])];
  io.err(rejectsText(rejects));
  return {
    pool,
    readings,
    rejects,
    work: log?.entries ?? [],
  };
}
