import { parse } from "csv-parse/browser/esm/sync";
import type { Pool } from "../domain/pool.ts";
import { csvLine } from "../intake/csv-cell.ts";
import { encodingOf } from "../intake/decode-text.ts";
import { readWorkLog, workSpec } from "../intake/read-work-log.ts";
import { logKind } from "../intake/sheet/log-sheet.ts";
import { sheetHeader } from "../intake/sheet/sheet-header.ts";
import type { ParseCsv } from "../intake/sheet/sheet-rows.ts";
import { undoneAction } from "../intake/undone.ts";
import { type WorkHeading, workHeading, workHeadings } from "../intake/work-row.ts";
import { fileText, type KeptFile, newFile, withRow } from "./record.ts";

/** One line of work; columns that are left out are empty. */
export type EnteredWork = Readonly<Partial<Record<WorkHeading, string>>>;

/** A line that this page wrote, and the walk that readings belonged to before it. */
export interface LoggedWork {
  readonly entered: EnteredWork;
  readonly walkBefore: string | null;
}

/**
 * The work log with one line more, written in the log's own columns. A log whose columns can't hold
 * the line, or that is not UTF-8, is left alone: null.
 */
export function addWork(log: KeptFile | null, entered: EnteredWork): KeptFile | null {
  if (log === null) {
    const own = newFile("work.csv", csvLine(workHeadings));
    return withRow(own, csvLine(workHeadings.map((name) => entered[name] ?? "")).trimEnd());
  }
  if (encodingOf(log.bytes) !== "utf-8") return null;
  const header = sheetHeader(fileText(log), true, parse as ParseCsv, logKind(workSpec));
  if (header === null || !("columns" in header)) return null;
  const { headings, delimiter } = header;
  const columns = headings.map(workHeading);
  const said = workHeadings.filter((name) => (entered[name] ?? "") !== "");
  if (said.some((name) => !columns.includes(name))) return null;
  const cells = columns.map((name) => (name === null ? "" : (entered[name] ?? "")));
  return withRow(log, csvLine(cells, delimiter).trimEnd());
}

/** Why this line can't be used, in the words that an import would use; null where it can. */
export function workFault(entered: EnteredWork, pool: Pool): string | null {
  const text = csvLine(workHeadings) + csvLine(workHeadings.map((name) => entered[name] ?? ""));
  const { rejected, faults } = readWorkLog(text, pool, "work");
  return rejected[0]?.reason ?? faults[0]?.message ?? null;
}

/**
 * The log with a line more that takes this one back. A log is only ever appended to: it tells what
 * was written and that it does not count. The note is left out where the log has no column for it.
 */
export function takeBackWork(log: KeptFile, entered: EnteredWork, note: string): KeptFile | null {
  const { done_at = "", lane = "", device = "", point = "" } = entered;
  const line = { done_at, lane, device, point, action: undoneAction };
  return addWork(log, { ...line, note }) ?? addWork(log, line);
}
