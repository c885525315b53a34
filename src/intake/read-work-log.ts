import { parse as parseCsv } from "csv-parse/browser/esm/sync";
import type { Pool } from "../domain/pool.ts";
import type { Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import type { WorkEntry } from "../domain/work.ts";
import { nearest } from "./nearest.ts";
import { poolNames } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { cellText, type RowFault } from "./reading-row.ts";
import { likelyDelimiter } from "./sheet-columns.ts";
import { sheetHeader } from "./sheet-header.ts";
import { headerCells, longestRow, type ParseCsv, SheetRows } from "./sheet-rows.ts";
import { standing } from "./undone.ts";
import {
  type LogRow,
  readWorkRow,
  type WorkHeading,
  workHeading,
  workHeadings,
} from "./work-row.ts";

/** What one work log gave. */
export interface WorkLog {
  /** Work that stands, in the order of the log. */
  readonly entries: readonly WorkEntry[];
  readonly rejected: readonly Reject[];
  readonly warnings: readonly InputFault[];
  /** Why the log as a whole could not be read; empty where it could. */
  readonly faults: readonly InputFault[];
}

const needed: readonly WorkHeading[] = ["done_at", "lane", "point", "action"];

/** The log's rows, or the one reason why it has none. */
function logRows(
  text: string,
  parse: ParseCsv,
): readonly LogRow[] | { place: string; message: string } {
  const header = sheetHeader(text, true);
  if (header === null)
    return { place: "", message: "is empty; its first row must name the columns" };
  if (header.text.length > longestRow)
    return { place: "", message: `has no header row in its first ${longestRow} characters` };
  if (text.includes("\0")) return { place: "", message: "is not text, so it can't be a log" };
  const split = (line: string, delimiter: string) => headerCells(parse, line, delimiter);
  const known = (cells: readonly string[]) => cells.filter((cell) => workHeading(cell)).length;
  const delimiter = likelyDelimiter(header.text, known, split);
  const names = split(header.text, delimiter).map((name, i) => name.trim() || `column ${i + 1}`);
  const meant = names.map(workHeading);
  const missing = needed.filter((heading) => !meant.includes(heading));
  const place = `line ${header.line}`;
  if (missing.length > 0) {
    const near = missing.map((heading) => nearest(heading, names)).find((name) => name !== null);
    const hint = near === undefined ? "" : `; did you mean ${quoted(near ?? "")}?`;
    const found = names.map(quoted).join(", ").slice(0, 300);
    return {
      place,
      message: `the header has no column ${missing.join(", ")}; found ${found}${hint}`,
    };
  }
  const rows: LogRow[] = [];
  const take =
    (broken: readonly RowFault[]) =>
    (record: readonly string[], line: number, own: () => string): void => {
      if (record.every((cell) => cell.trim() === "")) return;
      const plain = record.map(cellText);
      const cell = (heading: WorkHeading): string => plain[meant.indexOf(heading)] ?? "";
      const cells = workHeadings.map((heading) => [heading, cell(heading)]);
      const extra = record.slice(names.length).filter((one) => one.trim() !== "");
      const left = quoted(extra.join(delimiter));
      const words = `found ${record.length} values for ${names.length} columns, ${left} left over`;
      const fields = names.map((name, i) => [name, plain[i] ?? ""]);
      if (extra.length > 0) fields.push(["extra", extra.join(delimiter)]);
      rows.push({
        ...(Object.fromEntries(cells) as Record<WorkHeading, string>),
        line,
        text: own(),
        fields: Object.fromEntries(fields.filter(([name]) => name !== "reason")),
        broken: extra.length === 0 ? broken : [...broken, { kind: "columns", words }],
      });
    };
  const openQuote = "a quotation mark opens here and does not close before the next row";
  const sheet = new SheetRows(
    { parse, delimiter, columns: names.length, line: header.line + 1 },
    { row: take([]), openQuote: take([{ kind: "open-quote", words: openQuote }]) },
  );
  if (!sheet.feed(header.rest)) return { place: `line ${sheet.line}`, message: "is far too long" };
  sheet.end();
  return rows;
}

/**
 * Reads a work log: what was done to which connector, and when.
 *
 * Needed columns: done_at, lane, point, action; optional: device, minutes, cost, by, note. Lane and
 * device are null where the connector is shared above them, whatever the row says. Rows that a
 * later `undone` row takes back are left out. A row that can't be used, or that repeats an earlier
 * one in every column, is rejected with its reason. Nothing throws on bad input. `parse` is
 * csv-parse's synchronous call; default: its browser build, which Deno can't run.
 */
export function readWorkLog(
  text: string,
  pool: Pool,
  file: string,
  parse: ParseCsv = parseCsv as ParseCsv,
): WorkLog {
  const rows = logRows(text, parse);
  if (!Array.isArray(rows)) {
    const fault = { file, ...(rows as { place: string; message: string }) };
    return { entries: [], rejected: [], warnings: [], faults: [fault] };
  }
  const names = poolNames(pool);
  const entries: WorkEntry[] = [];
  const rejected: Reject[] = [];
  const lines = new Map<string, number>();
  const reject = (row: LogRow, faults: readonly RowFault[]): void => {
    const { line, text: own, fields } = row;
    const reason = faults.map(({ words }) => words).join("; ");
    rejected.push({ file, line, kind: faults[0]?.kind ?? "", reason, text: own, fields });
  };
  for (const row of standing(rows as readonly LogRow[])) {
    const read = readWorkRow(row, pool, names);
    const key = JSON.stringify(row.fields);
    const first = lines.get(key);
    if (!("doneAt" in read)) reject(row, read);
    else if (first !== undefined) {
      reject(row, [{ kind: "duplicate", words: `the same as line ${first} in every column` }]);
    } else {
      entries.push(read);
      lines.set(key, row.line);
    }
  }
  return { entries, rejected, warnings: [], faults: [] };
}
