import { type DiagnosedWalk, diagnoseSeason, rejectedCsv } from "../analyze.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import { checkJson } from "../report/check-json.ts";
import { checkText, isWeak, rejectsText } from "../report/check-text.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { loadPool, loadReadings, writeFiles } from "./files.ts";
import { progressLine } from "./progress.ts";

const example = `
The sheet is CSV: lane, point, volts, and where you have them device, taken_at, walk, meter,
meter_on, state, by, note; or one row a lane, one column a point.

Examples:
  $ dropwise check --pool pool.yaml readings.csv
  $ dropwise check --pool pool.yaml --latest season.csv
  $ dropwise check --pool pool.yaml readings.csv --json > answer.json
  $ dropwise check --pool pool.yaml readings.csv --out results

Exit status: 0 every path within its limit, 1 something is weak, 2 input that could not be used.
`;

interface Options {
  readonly pool: string;
  readonly json?: boolean;
  readonly latest?: boolean;
  readonly walk?: string;
  readonly out?: string;
}

/** `dropwise check`: the connectors most likely at fault, from a sheet of readings. */
export const registerCheck: Register = (program, io) => {
  program
    .command("check")
    .description("Rank the connectors most likely at fault, from a sheet of readings.")
    .argument("<readings...>", "one or more sheets of readings")
    .option("--pool <file>", "the pool file", "pool.yaml")
    .option("--latest", "only the latest walk of the sheets")
    .option("--walk <id>", "only this walk")
    .option("--json", "print the answer as JSON")
    .option("--out <dir>", "also write check.json, check.txt and rejected.csv into this folder")
    .addHelpText("after", example)
    .action((paths: string[], options: Options) => check(paths, options, io));
};

async function check(paths: readonly string[], options: Options, io: Io): Promise<void> {
  const progress = progressLine(io);
  const pool = await loadPool(options.pool);
  const { readings, rejected, warnings } = await loadReadings(paths, pool, (share, rows) =>
    progress.show(`reading ${Math.round(100 * share)} %, ${rows} rows`),
  );
  progress.clear();
  if (readings.length === 0) {
    io.err(rejectsText(rejected));
    throw new UnusableInput(`${paths.join(", ")}: no row could be used`);
  }
  const chosen = chooseReadings(readings, options);
  const walks = diagnoseSeason(pool, chosen, (done, of) =>
    progress.show(`diagnosing walk ${done + 1} of ${of}`),
  );
  progress.clear();
  const shown = options.latest ? walks.slice(-1) : walks;
  if (options.out !== undefined) await writeOut(options.out, pool, shown, rejected);
  for (const { file, message } of warnings) io.err(`dropwise: ${file}: ${message}\n`);
  if (options.json) {
    io.out(answerJson(pool, shown, rejected));
  } else {
    io.out(answerText(pool, shown, io.colour));
    io.err(rejectsText(rejected));
  }
  io.exit(shown.some(({ diagnosis }) => isWeak(diagnosis)) ? 1 : 0);
}

/** The readings of the walk that was asked for, or all. */
function chooseReadings(readings: readonly Reading[], options: Options): readonly Reading[] {
  if (options.walk === undefined) return readings;
  const chosen = readings.filter(({ walk }) => walk === options.walk);
  if (chosen.length > 0) return chosen;
  const known = [...new Set(readings.map(({ walk }) => walk))].slice(0, 12).join(", ");
  throw new UnusableInput(`no walk '${options.walk}' in the sheets; there are ${known}`);
}

const answerJson = (
  pool: Pool,
  walks: readonly DiagnosedWalk[],
  rejected: readonly Reject[],
): string =>
  checkJson(
    pool.name,
    walks.map(({ diagnosis }) => diagnosis),
    rejected,
  );

const answerText = (pool: Pool, walks: readonly DiagnosedWalk[], colour: boolean): string =>
  walks.map(({ diagnosis, readings }) => checkText(pool, diagnosis, readings, colour)).join("\n");

async function writeOut(
  folder: string,
  pool: Pool,
  walks: readonly DiagnosedWalk[],
  rejected: readonly Reject[],
): Promise<void> {
  await writeFiles(folder, [
    { name: "check.json", content: answerJson(pool, walks, rejected) },
    { name: "check.txt", content: answerText(pool, walks, false) },
    { name: "rejected.csv", content: rejectedCsv(rejected) },
  ]);
}
