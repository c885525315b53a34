import { readFileSync } from "node:fs";
import { basename, join } from "node:path";
import type { Reading } from "../domain/reading.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import { readingsCsv } from "../intake/readings-csv.ts";
import type { DateOrder } from "../intake/sheet/date-text.ts";
import { counted } from "../report/names.ts";
import { rejectsText, unusedHeadline } from "../report/rejects-text.ts";
import { textOf } from "../report/wrap-text.ts";
import { rejectedCsv } from "../rooms/intake-room.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { exitStatus } from "./exit-status.ts";
import { exists, loadReadings, warningLines } from "./files.ts";
import { helpText } from "./help-text.ts";
import { openPool, type PoolFolder, sayUsed, withPool } from "./pool-folder.ts";
import { writeFiles } from "./store/file-set.ts";

interface Options {
  readonly pool?: string;
  readonly dates?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

const example = `
Takes a sheet as it is: .xlsx, .ods or CSV of any make, titles above the headings, merged lane cells,
decimal commas, dates as people write them. Its readings stand then in the pool's readings/, in one
plain form, where every command finds them; rows that could not be used stand beside the pool file
in rejected-NAME.csv, to be mended and imported again. The same sheet again changes nothing.

Examples:
  $ dropwise import monday.csv
  $ dropwise import monday.csv --dates dmy
`;

/** `dropwise import`: sheets of any make into the pool's folder. */
export const registerImport: Register = (program, io) => {
  withPool(program.command("import"))
    .description("Take a spreadsheet or CSV of readings into the pool's folder.")
    .argument("<sheets...>", "the sheets, as they are")
    .option("--dates <order>", datesHelp)
    .option("--force", "overwrite what is there already (from another sheet of that name)")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action((sheets: readonly string[], options: Options) => importSheets(sheets, options, io));
};

/** What came of one sheet. */
interface Imported {
  readonly from: string;
  readonly to: string;
  readonly rows: RowCounts;
  readonly rejected: number;
}

async function importSheets(sheets: readonly string[], options: Options, io: Io): Promise<void> {
  const folder = await openPool(options.pool);
  sayUsed(folder, io);
  const dates = dateOrder(options.dates);
  const done: Imported[] = [];
  for (const sheet of sheets)
    done.push(await importSheet(folder, sheet, { ...options, order: dates }, io));
  if (options.json)
    io.out(`${JSON.stringify({ pool: folder.pool.name, sheets: done }, null, 2)}\n`);
  io.exit(exitStatus.rows(done.reduce((sum, { rejected }) => sum + rejected, 0)));
}

async function importSheet(
  { pool, dir }: PoolFolder,
  sheet: string,
  options: Options & { readonly order: DateOrder | null },
  io: Io,
): Promise<Imported> {
  const found = await loadReadings([sheet], pool, undefined, options.order);
  const { readings, rejected, rows } = found;
  const name = sheet === "-" ? "input" : basename(sheet).replace(/\.[^.]*$/, "");
  io.note(warningLines(found.warnings));
  if (readings.length === 0) {
    io.err(rejectsText(rejected));
    throw new UnusableInput(`${sheet}: no row could be used`);
  }
  const to = join("readings", `${name}.csv`);
  const isNew = await isToWrite(join(dir, to), readings, options.force === true);
  const lost = rejected.length === 0 ? [] : [`rejected-${name}.csv`];
  writeFiles(dir, [
    ...(isNew ? [{ name: to, content: readingsCsv(readings) }] : []),
    ...lost.map((file) => ({ name: file, content: rejectedCsv(rejected) })),
  ]);
  if (!options.json) {
    io.out(unusedHeadline(rows, rejected));
    const where = `${isNew ? "in" : "nothing new for"} ${join(dir, to)}`;
    io.out(textOf([`${sheet}: ${rowsText(rows)}; ${where}`]));
    io.err(rejectsText(rejected));
    for (const file of lost) io.out(`Not used rows are in ${join(dir, file)}\n`);
  }
  return { from: sheet, to: join(dir, to), rows, rejected: rejected.length };
}

/** `136 rows, 130 used, 4 not used, 2 repeats`. */
function rowsText({ in: all, used, rejected, repeats }: RowCounts): string {
  const parts = [counted(all, "row"), `${used} used`];
  if (rejected > 0) parts.push(`${rejected} not used`);
  if (repeats > 0) parts.push(counted(repeats, "repeat"));
  return parts.join(", ");
}

/** False where the pool has this very sheet already; another of its name is not overwritten. */
async function isToWrite(
  path: string,
  readings: readonly Reading[],
  force: boolean,
): Promise<boolean> {
  if (!(await exists(path))) return true;
  if (readFileSync(path, "utf8") === readingsCsv(readings)) return false;
  if (force) return true;
  throw new UnusableInput(
    `${path} is there already with other readings: rename the sheet, or --force replaces it`,
  );
}
