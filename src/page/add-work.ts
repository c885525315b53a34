import { parse } from "csv-parse/browser/esm/sync";
import type { CircuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { csvLine } from "../intake/csv-cell.ts";
import { encodingOf } from "../intake/decode-text.ts";
import { readWorkLog, workSpec } from "../intake/read-work-log.ts";
import { logKind, readLogSheet } from "../intake/sheet/log-sheet.ts";
import { sheetHeader } from "../intake/sheet/sheet-header.ts";
import type { ParseCsv } from "../intake/sheet/sheet-rows.ts";
import { undoneAction } from "../intake/undone.ts";
import { type WorkHeading, workHeading, workHeadings } from "../intake/work-row.ts";
import { fileText, type KeptFile, newFile, withRow } from "./record.ts";

/** One line of work; columns that are left out are empty. */
export type EnteredWork = Readonly<Partial<Record<WorkHeading, string>>>;

/** A line that this page wrote, and the circuits to read again to see what the work has done. */
export interface LoggedWork {
  readonly entered: EnteredWork;
  readonly recheck: readonly CircuitName[];
  /** The walk whose result asked for it, and what else it asked for. */
  readonly of: { readonly walk: string; readonly others: readonly ToDo[] } | null;
}

/** Another connector to see to. */
export interface ToDo {
  readonly name: string;
  readonly key: string;
}

/** One text for the place of a line of work, or of a connector as such a line names it. */
export const workKey = ({ lane = "", device = "", end = "", point = "" }: EnteredWork): string =>
  JSON.stringify([lane, device, end, point]);

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

/** The lines of a log as texts of its columns; null where it can't be read as one. */
function linesOf(log: KeptFile): readonly EnteredWork[] | null {
  const sheet = readLogSheet(fileText(log), log.name, workSpec);
  return sheet.fault === null ? sheet.rows.map(({ cells }) => cells) : null;
}

const lineKey = (line: EnteredWork): string =>
  JSON.stringify(workHeadings.map((name) => line[name] ?? ""));

/**
 * One log of two: the lines of both, each once. Lines of the other come behind this one's; a log whose
 * columns can't hold them is written anew with every column. Merging the same log again adds nothing.
 */
export function mergeWork(log: KeptFile | null, other: KeptFile): KeptFile {
  const mine = log === null ? null : linesOf(log);
  const theirs = linesOf(other);
  if (log === null || mine === null || theirs === null) return other;
  const known = new Set(mine.map(lineKey));
  const more = theirs.filter((line) => !known.has(lineKey(line)));
  const add = (start: KeptFile, lines: readonly EnteredWork[]): KeptFile | null =>
    lines.reduce<KeptFile | null>((file, line) => file && addWork(file, line), start);
  const whole = newFile(log.name, csvLine(workHeadings));
  return add(log, more) ?? add(whole, [...mine, ...more]) ?? log;
}
