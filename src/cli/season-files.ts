import type { InputFault, Pool, Reading, Reject, WorkEntry } from "../analyze.ts";
import { UnusableInput } from "./command.ts";
import { loadPool, loadReadings, loadWorkLog } from "./files.ts";

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
  readonly warnings: readonly InputFault[];
}

/** Reads all files of a season. Rows that cannot be used are collected; files that cannot throw. */
export async function readSeasonFiles(paths: SeasonPaths): Promise<SeasonFiles> {
  const pool = await loadPool(paths.pool);
  if (paths.readings.length === 0) throw new UnusableInput("no file of readings was named");
  const { readings, rejected, warnings } = await loadReadings(paths.readings, pool);
  if (readings.length === 0)
    throw new UnusableInput(`${paths.readings.join(", ")}: no row could be used as a reading`);
  const log = paths.work === undefined ? null : await loadWorkLog(paths.work, pool);
  return {
    pool,
    readings,
    rejects: [...rejected, ...(log?.rejected ?? [])],
    work: log?.entries ?? [],
    warnings,
  };
}
