import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  openSync,
  readFileSync,
  readSync,
  writeFileSync,
  writeSync,
} from "node:fs";
import { parse } from "csv-parse/sync";
import { csvLine } from "../intake/csv-cell.ts";
import { UnusableInput } from "./command.ts";
import { isCode, reason } from "./file-lock.ts";
import { unusable } from "./files.ts";

/** Columns of a new work log, in the order in which a person reads them. */
const workColumns = [
  "done_at",
  "lane",
  "device",
  "end",
  "point",
  "action",
  "minutes",
  "cost",
  "by",
  "note",
] as const;

export type WorkRow = Readonly<Record<(typeof workColumns)[number], string>>;

const needed = ["done_at", "lane", "point", "action"] as const;

/** A log as it stands: its rows under their own headings, and how it is written. */
export interface LogFile {
  readonly delimiter: string;
  readonly headings: readonly string[];
  readonly rows: readonly WorkRow[];
}

/** Reads a work log's text as it stands; null where there is no such file yet. */
export function readLog(file: string): LogFile | null {
  if (!existsSync(file)) return null;
  let text: string;
  try {
    const bytes = readFileSync(file);
    text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    if (text.includes("\0")) throw new TypeError("not UTF-8");
  } catch (error) {
    // Appending UTF-8 to a log in another encoding would spoil it.
    if (error instanceof TypeError)
      throw new UnusableInput(`${file} is not UTF-8 text: save it as "CSV UTF-8" first`);
    throw unusable(file, error);
  }
  const first = text.split(/\r\n|\n|\r/, 1)[0] ?? "";
  const delimiter = [",", ";", "\t"].reduce((best, one) =>
    first.split(one).length > first.split(best).length ? one : best,
  );
  const records = parse(text, {
    delimiter,
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    trim: true,
  }) as string[][];
  const headings = (records[0] ?? []).map((heading) =>
    heading.toLowerCase().replace(/[\s-]+/g, "_"),
  );
  const missing = needed.filter((name) => !headings.includes(name));
  if (missing.length > 0)
    throw new UnusableInput(
      `${file} is no work log: its header has no column ${missing.join(", no column ")}`,
    );
  const cell = (record: readonly string[], name: string): string => {
    const at = headings.indexOf(name);
    return at < 0 ? "" : (record[at] ?? "").replace(/^'(?='*[=+\-@])/, "");
  };
  const rows = records
    .slice(1)
    .map((record) => Object.fromEntries(workColumns.map((n) => [n, cell(record, n)])) as WorkRow);
  return { delimiter, headings, rows };
}

/**
 * Appends rows in one write, then makes the disk have them: another reader sees all or nothing, a
 * torn log (power cut, full disk) loses at most what was being written. What stands is not touched.
 */
export function appendLog(file: string, rows: readonly WorkRow[]): void {
  try {
    createEmpty(file);
    const log = readLog(file);
    if (log === null) throw new Error("the file vanished");
    const unwritten = workColumns.filter(
      (name) => !log.headings.includes(name) && rows.some((row) => row[name] !== ""),
    );
    if (unwritten.length > 0)
      throw new UnusableInput(
        `${file} has no column ${unwritten.join(", no column ")}; add it to the header first`,
      );
    const text = rows
      .map((row) =>
        csvLine(
          log.headings.map((h) => row[h as keyof WorkRow] ?? ""),
          log.delimiter,
        ),
      )
      .join("");
    writeOnce(file, text);
  } catch (error) {
    if (error instanceof UnusableInput) throw error;
    throw new UnusableInput(`can't write ${file}: ${reason(error)}`);
  }
}

function writeOnce(file: string, text: string): void {
  const handle = openSync(file, "a+");
  try {
    const size = fstatSync(handle).size;
    const last = Buffer.alloc(1);
    if (size > 0) readSync(handle, last, 0, 1, size - 1);
    // Some spreadsheets save without a line end: the new row must not join the old one.
    const open = size > 0 && last[0] !== 0x0a && last[0] !== 0x0d;
    const bytes = Buffer.from((open ? "\r\n" : "") + text, "utf8");
    if (writeSync(handle, bytes) !== bytes.length) throw new Error("the disk is full");
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Puts a header where there is no file; two runs at once can't both. */
function createEmpty(file: string): void {
  try {
    writeFileSync(file, csvLine(workColumns), { flag: "wx", flush: true });
  } catch (error) {
    if (!isCode(error, "EEXIST")) throw error;
  }
}
