import { join } from "node:path";
import type { Command } from "commander";
import { placeCells } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkStep } from "../domain/work.ts";
import { placeOfCells } from "../intake/circuit-cells.ts";
import { momentFault, readMoment } from "../intake/moment-text.ts";
import { poolNames } from "../intake/pool-names.ts";
import { standing, undoneAction } from "../intake/undone.ts";
import { takeCare } from "../report/cautions.ts";
import { workRowText } from "../report/log-text.ts";
import { textOf } from "../report/wrap-text.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { localTime } from "./local-time.ts";
import { appendLog, readLog, type WorkRow } from "./log-file.ts";
import { openPool, withPool } from "./pool-folder.ts";
import { withLock } from "./store/file-lock.ts";

interface Options {
  readonly pool?: string;
  readonly work?: string;
  readonly lane?: string;
  readonly device?: string;
  readonly end?: string;
  readonly point: string;
  readonly at?: string;
  readonly minutes?: string;
  readonly cost?: string;
  readonly by?: string;
  readonly note?: string;
  readonly dates?: string;
  readonly json?: boolean;
}

const actions = {
  cleaned: { words: "A connector was cleaned.", steps: ["clean"] },
  replaced: { words: "A connector was replaced.", steps: ["replace"] },
  reseated: { words: "A connector was pulled and pushed home again.", steps: ["measure"] },
} as const satisfies Record<string, { words: string; steps: readonly WorkStep[] }>;

const example = (action: string): string => `
Example:
  $ dropwise log ${action} --lane 2 --point plate --minutes 12 --by KM
  appends one row to the pool's work.csv; dropwise undo takes it back
`;

/** `dropwise log`: what was done, appended to work.csv. */
export const registerLog: Register = (program, io) => {
  const log = program
    .command("log")
    .description("Write down what was done: cleaned, replaced, reseated; or import another log.")
    .addHelpText("after", helpText(example("cleaned")));
  for (const action of Object.keys(actions) as (keyof typeof actions)[])
    common(log.command(action).description(actions[action].words))
      .requiredOption("--point <point>", "which connector, by its point in the chain")
      .option("--lane <lane>", "which lane (not for a connector that the whole pool shares)")
      .option("--device <device>", "which device, for a connector of one device")
      .option("--end <end>", "which end of the lane, where the pool has ends")
      .option("--at <moment>", "when it was done, ISO 8601 (default: now)")
      .option("--minutes <n>", "how long it took")
      .option("--cost <n>", "what it cost")
      .option("--by <who>", "by whom, a name or initials")
      .option("--note <text>", "anything worth knowing")
      .addHelpText("after", helpText(example(action)))
      .action((options: Options) => write(action, options, io));
  common(
    log.command("import").description("Add the rows of another work log that are not here yet."),
  )
    .argument("<file>", "the other log")
    .addHelpText("after", helpText("\nExample:\n  $ dropwise log import phone/work.csv\n"))
    .action((file: string, options: Options) => importLog(file, options, io));
};

/** `dropwise undo`: takes back the last row that still stands. */
export const registerUndo: Register = (program, io) => {
  common(
    program
      .command("undo")
      .description("Take back the last entry of the work log, by a row that says so."),
  )
    .addHelpText("after", helpText("\nExample:\n  $ dropwise undo\n"))
    .action((options: Options) => undo(options, io));
};

const common = (command: Command): Command =>
  withPool(command)
    .option("--work <file>", "the work log (default: the pool's work.csv, if there)")
    .option("--dates <order>", datesHelp)
    .option("--json", "print the answer as JSON");

async function write(action: keyof typeof actions, options: Options, io: Io): Promise<void> {
  const { pool, log } = await logOf(options);
  const row = rowOf(action, options, pool);
  const torn = await withLock(log, () => appendLog(log, [row]));
  if (torn !== "") io.err(tornWords(log));
  if (options.json) return io.out(`${JSON.stringify({ logged: row }, null, 2)}\n`);
  io.out(textOf([`Logged in ${log}: ${workRowText(row)}`]));
  io.out(textOf([takeCare(...actions[action].steps)]));
}

async function undo(options: Options, io: Io): Promise<void> {
  const dates = dateOrder(options.dates);
  const { log: file } = await logOf(options);
  const undone = await withLock(file, () => {
    const log = readLog(file, dates);
    if (log === null) throw new UnusableInput(`there is no file ${file}`);
    const last = standing(log.rows).stands.at(-1)?.cells;
    if (last === undefined) throw new UnusableInput(`${file} has no entry left to take back`);
    const note = `takes back: ${last.action}; on ${localTime(new Date())}`;
    appendLog(file, [
      {
        ...last,
        action: undoneAction,
        minutes: "",
        cost: "",
        by: "",
        note: log.columns.includes("note") ? note : "",
      },
    ]);
    return last;
  });
  if (options.json) io.out(`${JSON.stringify({ undone }, null, 2)}\n`);
  else io.out(`Taken back in ${file}: ${workRowText(undone)}\n`);
}

async function importLog(file: string, options: Options, io: Io): Promise<void> {
  const dates = dateOrder(options.dates);
  const other = readLog(file, dates);
  if (other === null) throw new UnusableInput(`there is no file ${file}`);
  const { pool, log } = await logOf(options);
  const rejected: string[] = [];
  const usable = other.rows.flatMap(({ cells, line, broken }) => {
    try {
      if (broken.length > 0) throw new UnusableInput(broken[0]!.words);
      // The moment as this log writes it: another one's way with dates need not be ours.
      const done_at = other.dates.moment(cells.done_at)?.text ?? cells.done_at;
      return [checked({ ...cells, done_at }, pool)];
    } catch (error) {
      if (!(error instanceof UnusableInput)) throw error;
      rejected.push(`${file}, line ${line}: ${error.message}`);
      return [];
    }
  });
  const added = await withLock(log, () => {
    const here = readLog(log, dates);
    const known = new Set(
      (here?.rows ?? []).map(({ cells }) =>
        identity({
          ...cells,
          done_at: here?.dates.moment(cells.done_at)?.text ?? cells.done_at,
        }),
      ),
    );
    const fresh = usable.filter((row) => {
      const isNew = !known.has(identity(row));
      known.add(identity(row));
      return isNew;
    });
    if (fresh.length > 0) appendLog(log, fresh);
    return fresh;
  });
  const doubled = usable.length - added.length;
  if (options.json)
    io.out(`${JSON.stringify({ added: added.length, here: doubled, rejected }, null, 2)}\n`);
  else io.out(`${added.length} rows added to ${log}, ${doubled} were there already.\n`);
  for (const line of rejected) io.err(`dropwise: not imported: ${line}\n`);
  io.exit(exitStatus.rows(rejected.length));
}

const tornWords = (file: string): string =>
  `dropwise: ${file} ended in a row cut short, which no longer counts; it is in ${file}.torn\n`;

/** One piece of work, however its row is written: the same moment, place and action. */
const identity = (row: WorkRow): string => {
  const moment = readMoment(row.done_at);
  const when = moment?.seconds ?? moment?.day ?? row.done_at;
  return JSON.stringify([when, row.lane, row.device, row.end, row.point, row.action.toLowerCase()]);
};

/** The pool whose names are checked, and its work log unless another was named. */
async function logOf({ pool: named, work }: Options): Promise<{ pool: Pool; log: string }> {
  const { pool, dir } = await openPool(named);
  return { pool, log: work ?? join(dir, "work.csv") };
}

function rowOf(action: string, options: Options, pool: Pool): WorkRow {
  return checked(
    {
      done_at: options.at ?? localTime(new Date()),
      lane: options.lane ?? "",
      device: options.device ?? "",
      end: options.end ?? "",
      point: options.point,
      action,
      minutes: options.minutes ?? "",
      cost: options.cost ?? "",
      by: options.by ?? "",
      note: options.note ?? "",
    },
    pool,
  );
}

/** The row with the pool's own names in it, or one sentence that says what is wrong with it. */
function checked(row: WorkRow, pool: Pool): WorkRow {
  if (readMoment(row.done_at) === null)
    throw new UnusableInput(`done_at is '${row.done_at}': ${momentFault(row.done_at)}`);
  const known = [...Object.keys(actions), undoneAction];
  if (!known.includes(row.action.toLowerCase()))
    throw new UnusableInput(`action is '${row.action}': one of ${known.join(", ")}`);
  for (const name of ["minutes", "cost"] as const)
    if (row[name] !== "" && !/^\d{1,6}([.,]\d{1,4})?$/.test(row[name]))
      throw new UnusableInput(`${name} is '${row[name]}': a number, 0 or more`);
  if (/[\r\n]/.test(row.note + row.by)) throw new UnusableInput("a note is one line");
  const action = row.action.toLowerCase();
  return { ...row, action, ...placeOf(row, pool) };
}

function placeOf(row: WorkRow, pool: Pool): ReturnType<typeof placeCells> {
  const place = placeOfCells(pool, poolNames(pool), row);
  if (!("lanes" in place)) throw new UnusableInput(place.map(({ words }) => words).join("; "));
  return placeCells(place);
}
