import type { Pool } from "../domain/pool.ts";
import { checkBrief } from "../report/check-brief.ts";
import {
  checkJsonEnd,
  checkJsonStart,
  checkJsonWalk,
  type SheetRows,
} from "../report/check-json.ts";
import { type CheckedWalk, checkText } from "../report/check-text.ts";
import { rejectsText, remarks, unusedHeadline } from "../report/rejects-text.ts";
import { walkStanding } from "../rooms/circuit-room.ts";
import { rejectedCsv } from "../rooms/intake-room.ts";
import {
  diagnoseTimed,
  inOrderOfTime,
  latestWalk,
  type TimedWalk,
  walkStarts,
} from "../rooms/season-room.ts";
import { wordsIn } from "../words/language.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import type { Status } from "./exit-status.ts";
import { exitStatus } from "./exit-status.ts";
import { keepReadings, warningLines } from "./files.ts";
import { helpText } from "./help-text.ts";
import { neededSheets, openPool, sayUsed, withPool } from "./pool-folder.ts";
import { progressLine } from "./progress.ts";
import { aloneHelp, workOf } from "./season-files.ts";
import { nothingIn } from "./sources.ts";

const example = `
Without a sheet: the latest walk of the pool's own, readings.csv and readings/. A sheet has lane,
point, volts, and where you have them device, taken_at, walk, meter, meter_on, state, by, note; or
one row a lane, one column a point. CSV of any make, .xlsx, .ods; - is standard input.

Examples:
  $ dropwise check
  $ dropwise check monday.csv --dates dmy
  $ dropwise check --details
  $ dropwise check --json
  $ dropwise check --out results

Exit status: 0 every circuit read is sound, 1 something is weak or must be read again, 2 input that
could not be used.
`;

interface Options {
  readonly pool?: string;
  readonly json?: boolean;
  readonly latest?: boolean;
  readonly all?: boolean;
  readonly details?: boolean;
  readonly walk?: string;
  readonly out?: string;
  readonly work?: string;
  readonly dates?: string;
  readonly alone?: boolean;
}

/** `dropwise check`: the connectors most likely at fault, from a sheet of readings. */
export const registerCheck: Register = (program, io) => {
  withPool(program.command("check"))
    .description("Rank the connectors most likely at fault, from a sheet of readings.")
    .argument("[readings...]", "sheets of readings (default: the pool's own)")
    .option("--latest", "only the latest walk of the sheets (so it is where no sheet is named)")
    .option("--all", "every walk of the pool's own sheets")
    .option("--walk <id>", "only this walk")
    .option("--details", "every reading, chance, margin and caution")
    .option("--alone", aloneHelp)
    .option("--work <file>", "the work log (default: the pool's work.csv, if there)")
    .option("--dates <order>", datesHelp)
    .option("--json", "print the answer as JSON")
    .option("--out <folder>", "write into this folder (check.json, check.txt, rejected.csv)")
    .addHelpText("after", helpText(example))
    .action((paths: string[], options: Options) => check(paths, options, io));
};

async function check(paths: readonly string[], options: Options, io: Io): Promise<void> {
  const progress = progressLine(io);
  const say = wordsIn(io.language).command;
  const folder = await openPool(options.pool);
  const { pool } = folder;
  const sheets = await neededSheets(folder, paths);
  const show = (share: number, rows: number) =>
    progress.show(say.reading(Math.round(100 * share), rows));
  const dates = dateOrder(options.dates);
  const { kept, rejected, warnings, rows } = await keepReadings(sheets, pool, show, dates);
  progress.clear();
  if (kept.size === 0) {
    io.err(rejectsText(rejected, io.language));
    throw new UnusableInput(nothingIn(sheets, rejected));
  }
  const work = await workOf(folder, options.work, dates, io);
  sayUsed(folder, io);
  io.err(rejectsText(work.rejected, io.language));
  kept.nameWalks(pool, work.entries);
  const { latest = false, all = false } = options;
  const onlyLatest = latest || (paths.length === 0 && !all && options.walk === undefined);
  const ordered = inOrderOfTime(kept.walks());
  const walks = chooseWalks(ordered, options.walk, onlyLatest);
  const startOf = walkStarts(pool, ordered, work.entries, io.keeper);
  const output = await checkOutput(pool, { rows, rejected }, options, io);
  io.note(remarks(warningLines(warnings), io.language));
  output.start();
  let status: Status = 0;
  for (const [index, walk] of walks.entries()) {
    progress.show(say.diagnosing(index + 1, walks.length));
    const start = options.alone ? null : startOf(walk);
    const diagnosed = diagnoseTimed(pool, walk, true, start, io.keeper);
    status ||= exitStatus.check([diagnosed.diagnosis]);
    progress.clear();
    const standing = walkStanding(pool, diagnosed.diagnosis, diagnosed.readings);
    output.walk({ ...diagnosed, standing }, index);
  }
  output.end(walks.length);
  io.exit(status);
}

/** The walks that were asked for, in the order of time. */
function chooseWalks(
  walks: readonly TimedWalk[],
  asked: string | undefined,
  latest: boolean,
): readonly TimedWalk[] {
  const chosen = asked === undefined ? walks : walks.filter(({ walk }) => walk === asked);
  const last = latestWalk(chosen);
  if (last === undefined && walks.length > 0) {
    const known = walks.slice(0, 12).map(({ walk }) => walk);
    throw new UnusableInput(`no walk '${asked}' in the sheets; there are ${known.join(", ")}`);
  }
  if (last === undefined) throw new UnusableInput("no reading at rest in the sheets");
  return latest ? [last] : chosen;
}

/**
 * Where the answer goes, walk by walk as each is diagnosed: standard output, and the files of
 * `--out`. No more than one walk's answer is held at a time.
 */
async function checkOutput(pool: Pool, sheets: SheetRows, options: Options, io: Io) {
  const { rejected, rows } = sheets;
  const { json = false, out } = options;
  // Loaded where files are written: what reads them back to check them is large.
  const drafts = out === undefined ? null : new (await import("./store/file-set.ts")).FileSet(out);
  const text = (walk: CheckedWalk, index: number, colour: boolean): string =>
    `${index === 0 ? "" : "\n"}${(options.details ? checkText : checkBrief)(pool, walk, colour, io.language)}`;
  const both = (piece: string): void => {
    drafts?.add("check.json", piece);
    if (json) io.out(piece);
  };
  return {
    start: (): void => {
      both(checkJsonStart(pool.name));
      const headline = unusedHeadline(rows, rejected, io.language);
      if (headline !== "") drafts?.add("check.txt", headline);
      if (!json) io.out(headline);
    },
    walk: (walk: CheckedWalk, index: number): void => {
      drafts?.add("check.txt", text(walk, index, false));
      if (json || drafts !== null) both(checkJsonWalk(walk.diagnosis, index));
      if (!json) io.out(text(walk, index, io.colour));
    },
    end: (walks: number): void => {
      both(checkJsonEnd(walks, sheets));
      drafts?.add("rejected.csv", rejectedCsv(rejected));
      drafts?.finish();
      if (!json) io.err(rejectsText(rejected, io.language));
    },
  };
}
