import { dirname, join } from "node:path";
import type { Reading } from "../domain/reading.ts";
import { nextJson, nextText } from "../report/next-text.ts";
import { rejectsText, remarks } from "../report/rejects-text.ts";
import { type Carried, nextReadings } from "../rooms/diagnosis-room.ts";
import { inOrderOfTime, latestWalk, walkStarts } from "../rooms/season-room.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { keepReadings, warningLines } from "./files.ts";
import { helpText } from "./help-text.ts";
import { localDay } from "./local-time.ts";
import { guidedWalk } from "./next-walk.ts";
import { openPool, type PoolFolder, sayUsed, sheetsOf, withPool } from "./pool-folder.ts";
import { aloneHelp, workOf } from "./season-files.ts";
import { unusable } from "./store/cannot-write.ts";
import { makeFolder } from "./store/make-folder.ts";

const example = `
With --guide it names a point and you type what the meter shows; - can't reach, u undo, m meter just
switched on, q stop, ? help. Each reading is on disk before the next prompt: after a crash, go on
with --resume (points that could not be reached are then asked for again).

Examples:
  $ dropwise next
  $ dropwise next --guide --out walk.csv --by KM
  $ dropwise next --guide --out walk.csv --resume
`;

interface Options {
  readonly pool?: string;
  readonly most: string;
  readonly guide?: boolean;
  readonly out?: string;
  readonly resume?: boolean;
  readonly by?: string;
  readonly work?: string;
  readonly dates?: string;
  readonly json?: boolean;
  readonly alone?: boolean;
}

/** `dropwise next`: the readings worth taking now; with --guide, a whole pool from nothing. */
export const registerNext: Register = (program, io) => {
  withPool(program.command("next"))
    .description("The best few readings to take now, or a whole walk guided point by point.")
    .argument("[readings...]", "what was read so far (default: the pool's own)")
    .option("--most <n>", "how many readings to name", "5")
    .option("--guide", "guide a walk: asks for one reading after the other")
    .option("--out <file>", "write into this file (the walk's sheet; default: the pool's)")
    .option("--resume", "go on with the walk in the --out file")
    .option("--by <who>", "by whom, a name or initials")
    .option("--work <file>", "the work log (default: the pool's work.csv, if there)")
    .option("--dates <order>", datesHelp)
    .option("--alone", aloneHelp)
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action((paths: string[], options: Options) => next(paths, options, io));
};

async function next(paths: readonly string[], options: Options, io: Io): Promise<void> {
  const most = Number(options.most);
  if (!Number.isInteger(most) || most < 1 || most > 1000) {
    throw new UnusableInput(`--most is '${options.most}': a whole number from 1 to 1000`);
  }
  const folder = await openPool(options.pool);
  const { pool } = folder;
  if (options.guide) return walk(folder, paths, options, io);
  if (options.out !== undefined || options.resume) {
    throw new UnusableInput("--out and --resume belong to --guide");
  }
  const { readings, start } = await latestReadings(folder, paths, options, io);
  const advice = nextReadings(pool, readings, most, undefined, start);
  io.out(
    options.json
      ? nextJson(pool.name, readings.at(-1)?.walk ?? null, advice)
      : nextText(pool, advice, io.language),
  );
}

function walk(
  { pool, dir }: PoolFolder,
  paths: readonly string[],
  options: Options,
  io: Io,
): Promise<void> {
  const { resume = false, by = "", json = false } = options;
  if (paths.length > 0) {
    throw new UnusableInput(
      "--guide starts from nothing; to go on with a sheet, --out it --resume",
    );
  }
  const out = options.out ?? join(dir, "readings", `walk-${localDay(new Date())}.csv`);
  if (options.out === undefined) makeFor(out);
  return guidedWalk(pool, { out, resume, by, json }, io);
}

/** Makes the folder that a sheet is to stand in. */
function makeFor(sheet: string): void {
  try {
    makeFolder(dirname(sheet));
  } catch (error) {
    throw unusable(dirname(sheet), error);
  }
}

/** The readings of the latest walk of some sheets, and what it starts from; none without a sheet. */
async function latestReadings(
  folder: PoolFolder,
  paths: readonly string[],
  options: Options,
  io: Io,
): Promise<{ readonly readings: readonly Reading[]; readonly start: Carried | null }> {
  const { pool } = folder;
  const dates = dateOrder(options.dates);
  const sheets = await sheetsOf(folder, paths);
  const nothing = { readings: [], start: null };
  if (sheets.length === 0) return nothing;
  const { kept, rejected, warnings } = await keepReadings(sheets, pool, undefined, dates);
  io.note(remarks(warningLines(warnings), io.language));
  io.err(rejectsText(rejected, io.language));
  const work = await workOf(folder, options.work, dates, io);
  sayUsed(folder, io);
  if (kept.size === 0) {
    // A sheet that nobody has filled in yet is a walk not begun.
    if (rejected.length === 0) return nothing;
    throw new UnusableInput(`${sheets.join(", ")}: no row could be used`);
  }
  io.err(rejectsText(work.rejected, io.language));
  kept.nameWalks(pool, work.entries);
  const walks = inOrderOfTime(kept.walks());
  const latest = latestWalk(walks);
  if (latest === undefined) throw new UnusableInput(`${sheets.join(", ")}: no reading at rest`);
  if (options.alone) return { readings: latest.readings(), start: null };
  const start = walkStarts(pool, walks, work.entries, io.keeper)(latest);
  return { readings: latest.readings(), start };
}
