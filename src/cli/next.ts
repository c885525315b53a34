import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { DateOrder } from "../intake/sheet/date-text.ts";
import { nextJson, nextText } from "../report/next-text.ts";
import { rejectsText } from "../report/rejects-text.ts";
import { nextReadings } from "../rooms/diagnosis-room.ts";
import { inOrderOfTime, latestWalk } from "../rooms/season-room.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { keepReadings, loadPool, warningLines } from "./files.ts";
import { guidedWalk } from "./next-walk.ts";
import { workOf } from "./season-files.ts";

const example = `
With --walk it names a point and you type what the meter shows; - can't reach, u undo, m meter just
switched on, q stop, ? help. Each reading is on disk before the next prompt: after a crash, go on
with --resume (points that could not be reached are then asked for again).

Examples:
  $ dropwise next --pool pool.yaml readings.csv
  $ dropwise next --walk --pool pool.yaml --out walk.csv --by KM
  $ dropwise next --walk --pool pool.yaml --out walk.csv --resume
`;

interface Options {
  readonly pool: string;
  readonly most: string;
  readonly walk?: boolean;
  readonly out?: string;
  readonly resume?: boolean;
  readonly by?: string;
  readonly dates?: string;
  readonly json?: boolean;
}

/** `dropwise next`: the readings worth taking now; with --walk, a whole pool from nothing. */
export const registerNext: Register = (program, io) => {
  program
    .command("next")
    .description("The best few readings to take now, or a whole walk guided point by point.")
    .argument("[readings...]", "what was read so far; of several walks, the latest counts")
    .option("--pool <file>", "the pool file", "pool.yaml")
    .option("--most <n>", "how many readings to name", "5")
    .option("--walk", "guide a walk: asks for one reading after the other")
    .option("--out <file>", "the sheet that the walk is written to (needed with --walk)")
    .option("--resume", "go on with the walk in the --out file")
    .option("--by <who>", "who takes the readings")
    .option("--dates <order>", datesHelp)
    .option("--json", "print the answer as JSON")
    .addHelpText("after", example)
    .action((paths: string[], options: Options) => next(paths, options, io));
};

async function next(paths: readonly string[], options: Options, io: Io): Promise<void> {
  const most = Number(options.most);
  if (!Number.isInteger(most) || most < 1 || most > 1000) {
    throw new UnusableInput(`--most is '${options.most}': a whole number from 1 to 1000`);
  }
  const pool = await loadPool(options.pool);
  if (options.walk) return walk(pool, paths, options, io);
  if (options.out !== undefined || options.resume) {
    throw new UnusableInput("--out and --resume belong to --walk");
  }
  const readings = await latestReadings(pool, options.pool, paths, dateOrder(options.dates), io);
  const advice = nextReadings(pool, readings, most);
  io.out(
    options.json
      ? nextJson(pool.name, readings.at(-1)?.walk ?? null, advice)
      : nextText(pool, advice),
  );
}

function walk(pool: Pool, paths: readonly string[], options: Options, io: Io): Promise<void> {
  const { out, resume = false, by = "", json = false } = options;
  if (out === undefined) throw new UnusableInput("--walk needs --out: the sheet to write");
  if (paths.length > 0) {
    throw new UnusableInput("--walk starts from nothing; to go on with a sheet, --out it --resume");
  }
  return guidedWalk(pool, { out, resume, by, json }, io);
}

/** The readings of the latest walk of some sheets; none where no sheet is given. */
async function latestReadings(
  pool: Pool,
  file: string,
  paths: readonly string[],
  dates: DateOrder | null,
  io: Io,
): Promise<readonly Reading[]> {
  if (paths.length === 0) return [];
  const { kept, rejected, warnings } = await keepReadings(paths, pool, undefined, dates);
  io.err(warningLines(warnings));
  io.err(rejectsText(rejected));
  if (kept.size === 0) throw new UnusableInput(`${paths.join(", ")}: no row could be used`);
  const work = await workOf(file, undefined, pool, io, dates);
  io.err(rejectsText(work.rejected));
  kept.nameWalks(pool, work.entries);
  const latest = latestWalk(inOrderOfTime(kept.walks()));
  if (latest === undefined) throw new UnusableInput(`${paths.join(", ")}: no reading at rest`);
  return latest.readings();
}
