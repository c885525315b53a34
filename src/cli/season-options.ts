import type { Command } from "commander";
import type { SeasonProgress } from "../rooms/season-room.ts";
import type { Io } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { withPool } from "./pool-folder.ts";
import {
  aloneHelp,
  readSeasonFiles,
  readSeasonSheets,
  type SeasonFiles,
  type SeasonPaths,
} from "./season-files.ts";

/** Options of every command that is made from a season's files. */
export interface SeasonOptions {
  readonly pool?: string;
  readonly readings?: readonly string[];
  readonly work?: string;
  readonly dates?: string;
  readonly alone?: boolean;
}

/** Adds those that name files. Readings may stand as arguments, as for `check`, or after --readings. */
export const withSheetOptions = (command: Command): Command =>
  withPool(command)
    .argument("[readings...]", "sheets of readings (default: the pool's own)")
    .option("--readings <files...>", "sheets of readings (where not named as arguments)")
    .option("--work <file>", "the work log (default: the pool's work.csv, if there)")
    .option("--dates <order>", datesHelp);

/** Adds them to a command. */
export const withSeasonOptions = (command: Command): Command =>
  withSheetOptions(command).option("--alone", aloneHelp);

const seasonPaths = (files: readonly string[], options: SeasonOptions): SeasonPaths => ({
  pool: options.pool,
  readings: [...files, ...(options.readings ?? [])],
  work: options.work,
  dates: dateOrder(options.dates),
  alone: options.alone ?? false,
});

/** Shows progress on one line of standard error, where that is a terminal. */
function seasonProgress(io: Io): SeasonProgress {
  if (!io.progress) return () => {};
  let shown = "";
  return (what, done, of) => {
    const share = Math.floor((100 * done) / Math.max(1, of));
    const line = what === "" || done + 1 >= of ? "" : `${what} ${share} %`;
    if (line !== shown) io.err(`\r\u001b[K${line}`);
    shown = line;
  };
}

/** A season as a command finds it, with whom to tell how far a long step is. */
export interface FoundSeason extends SeasonFiles {
  readonly paths: SeasonPaths;
  readonly progress: SeasonProgress;
}

/** Reads and opens what a command was given: every command that is made from a season starts here. */
export async function findSeason(
  sheets: readonly string[],
  options: SeasonOptions,
  io: Io,
): Promise<FoundSeason> {
  const progress = seasonProgress(io);
  const paths = seasonPaths(sheets, options);
  return { ...(await readSeasonFiles(paths, io, progress)), paths, progress };
}

/** The same, nothing diagnosed yet. */
export async function findSheets(
  sheets: readonly string[],
  options: SeasonOptions,
  io: Io,
): Promise<Omit<FoundSeason, "season" | "paths">> {
  const progress = seasonProgress(io);
  const { tell, ...files } = await readSeasonSheets(seasonPaths(sheets, options), io, progress);
  tell();
  return { ...files, progress };
}
