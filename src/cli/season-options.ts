import type { Command } from "commander";
import type { Io } from "./command.ts";
import type { SeasonPaths } from "./season-files.ts";

/** Options of every command that is made from a season's files. */
export interface SeasonOptions {
  readonly pool: string;
  readonly readings?: readonly string[];
  readonly work?: string;
}

/** Adds them to a command. Readings may stand as arguments, as for `check`, or after --readings. */
export const withSeasonOptions = (command: Command): Command =>
  command
    .argument("[readings...]", "files of readings")
    .option("--pool <file>", "the pool file", "pool.yaml")
    .option("--readings <files...>", "files of readings, where not named as arguments")
    .option("--work <file>", "what was done: work.csv");

export const seasonPaths = (files: readonly string[], options: SeasonOptions): SeasonPaths => ({
  pool: options.pool,
  readings: [...files, ...(options.readings ?? [])],
  work: options.work,
});

/** Shows progress on one line of standard error, where that is a terminal. */
export function seasonProgress(io: Io): (what: string, done: number, of: number) => void {
  if (!io.progress) return () => {};
  return (what, done, of) => io.err(`\r\u001b[K${done + 1 < of ? `${what} ${done} of ${of}` : ""}`);
}
