import type { Command } from "commander";
import type { SeasonProgress } from "../analyze.ts";
import type { Io } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import type { SeasonPaths } from "./season-files.ts";

/** Options of every command that is made from a season's files. */
export interface SeasonOptions {
  readonly pool: string;
  readonly readings?: readonly string[];
  readonly work?: string;
  readonly dates?: string;
}

/** Adds them to a command. Readings may stand as arguments, as for `check`, or after --readings. */
export const withSeasonOptions = (command: Command): Command =>
  command
    .argument("[readings...]", "files of readings")
    .option("--pool <file>", "the pool file", "pool.yaml")
    .option("--readings <files...>", "files of readings, where not named as arguments")
    .option("--work <file>", "what was done (default: work.csv beside the pool file, if there)")
    .option("--dates <order>", datesHelp);

export const seasonPaths = (files: readonly string[], options: SeasonOptions): SeasonPaths => ({
  pool: options.pool,
  readings: [...files, ...(options.readings ?? [])],
  work: options.work,
  dates: dateOrder(options.dates),
});

/** Shows progress on one line of standard error, where that is a terminal. */
export function seasonProgress(io: Io): SeasonProgress {
  if (!io.progress) return () => {};
  let shown = "";
  return (what, done, of) => {
    const share = Math.floor((100 * done) / Math.max(1, of));
    const line = what === "" || done + 1 >= of ? "" : `${what} ${share} %`;
    if (line !== shown) io.err(`\r\u001b[K${line}`);
    shown = line;
  };
}
