import { existsSync, readFileSync } from "node:fs";
import { csvLine, framedLine } from "../intake/csv-cell.ts";
import { decodeFile } from "../intake/decode-text.ts";
import { workSpec } from "../intake/read-work-log.ts";
import type { DateOrder } from "../intake/sheet/date-text.ts";
import { type LogRow, readLogSheet } from "../intake/sheet/log-sheet.ts";
import type { SheetDates } from "../intake/sheet/sheet-dates.ts";
import { type WorkHeading, workHeadings } from "../intake/work-row.ts";
import { UnusableInput } from "./command.ts";
import { unusable } from "./store/cannot-write.ts";
import {
  appendRows,
  beginFile,
  endOfLines,
  exchangeFile,
  hasContent,
  setTornAside,
} from "./store/framed-log.ts";
import { reasonOf } from "./store/system-words.ts";
import { widenedLog } from "./widen-log.ts";

export type WorkRow = Readonly<Record<WorkHeading, string>>;

/** A log as it stands: its rows, and how it is written. */
export interface LogFile {
  readonly delimiter: string;
  /** Line of the headings, the first being 1. */
  readonly headerLine: number;
  readonly columns: readonly (WorkHeading | null)[];
  readonly rows: readonly LogRow<WorkHeading>[];
  /** How its dates are meant. */
  readonly dates: SheetDates;
  /** A row cut short at the end, as a power cut leaves it; empty where there is none. */
  readonly torn: string;
}

/** Reads a work log as it stands; null where there is no such file yet, or an empty one. */
export function readLog(file: string, order: DateOrder | null): LogFile | null {
  let bytes: Buffer;
  try {
    if (!hasContent(file)) return null;
    bytes = readFileSync(file);
  } catch (error) {
    throw unusable(file, error);
  }
  const { text, encoding } = decodeFile(bytes);
  // Appending UTF-8 to a log in another encoding would spoil it.
  if (encoding !== "utf-8")
    throw new UnusableInput(`${file} is not UTF-8 text: save it as "CSV UTF-8" first`);
  const sheet = readLogSheet(text, file, workSpec, { dates: order });
  if (sheet.fault !== null)
    throw new UnusableInput(
      sheet.dates.open === null
        ? `${file} is no work log: ${sheet.fault.message}`
        : `${file} ${sheet.fault.message}`,
    );
  const last = sheet.rows.at(-1);
  const unended = endOfLines(bytes) < bytes.length;
  const torn = unended && last !== undefined && last.broken.length > 0 ? last.text : "";
  const rows = torn === "" ? sheet.rows : sheet.rows.slice(0, -1);
  const { delimiter, headerLine, columns, dates } = sheet;
  return { delimiter, headerLine, columns, rows, dates, torn };
}

/**
 * Adds rows at the log's end, the whole of them or nothing, and has the disk hold them. A row that an
 * earlier power cut left torn is set aside first and given back; a log that is not there yet begins
 * with these rows. What stands is not touched, but for empty cells under columns that it lacks and the
 * rows need.
 */
export function appendLog(file: string, rows: readonly WorkRow[]): string {
  try {
    // Whichever way its dates are meant, a row may be added.
    const log = readLog(file, "dmy");
    if (log === null) {
      const header = csvLine(workHeadings);
      const lines = rows.map((row) => framedLine(workHeadings.map((name) => row[name])));
      beginFile(file, header + lines.join(""));
      return "";
    }
    const unwritten = workHeadings.filter(
      (name) => !log.columns.includes(name) && rows.some((row) => row[name] !== ""),
    );
    const columns = [...log.columns, ...unwritten];
    const lines = rows.map((row) =>
      framedLine(
        columns.map((name) => (name === null ? "" : row[name])),
        log.delimiter,
      ),
    );
    if (log.torn !== "") setTornAside(file);
    // Some spreadsheets save without a line end: the new row must not join the old one.
    const added = (isOpen(file) ? "\r\n" : "") + lines.join("");
    if (unwritten.length === 0) appendRows(file, added);
    else exchangeFile(file, widened(file, log, unwritten) + added);
    return log.torn;
  } catch (error) {
    if (error instanceof UnusableInput) throw error;
    throw new UnusableInput(`can't write ${file}: ${reasonOf(error)}`);
  }
}

function widened(file: string, log: LogFile, columns: readonly WorkHeading[]): string {
  const text = widenedLog(readFileSync(file, "utf8"), log, columns);
  if (text !== null) return text;
  const lacks = `${file} has no column ${columns.join(", no column ")}`;
  throw new UnusableInput(`${lacks}; add it to the header first, and mend its broken rows`);
}

/** No line end stands behind the last row. */
function isOpen(file: string): boolean {
  if (!existsSync(file)) return false;
  const bytes = readFileSync(file);
  return endOfLines(bytes) < bytes.length;
}
