import { parse } from "csv-parse/browser/esm/sync";
import { csvLine } from "../intake/csv-cell.ts";
import { encodingOf } from "../intake/decode-text.ts";
import { likelyDelimiter } from "../intake/sheet-columns.ts";
import { sheetHeader } from "../intake/sheet-header.ts";
import { headerCells, type ParseCsv } from "../intake/sheet-rows.ts";
import { type WorkHeading, workHeading, workHeadings } from "../intake/work-row.ts";
import { fileText, type KeptFile, newFile, withRow } from "./record.ts";

/** One line of work; columns that are left out are empty. */
export type EnteredWork = Readonly<Partial<Record<WorkHeading, string>>>;

const split = (line: string, delimiter: string): readonly string[] =>
  headerCells(parse as ParseCsv, line, delimiter);

/**
 * The work log with one line more, written in the log's own columns. A log whose columns can't hold
 * the line, or that is not UTF-8, is left alone: null.
 */
export function addWork(log: KeptFile | null, entered: EnteredWork): KeptFile | null {
  if (log === null) {
    const own = newFile("work.csv", csvLine(workHeadings));
    return withRow(own, csvLine(workHeadings.map((name) => entered[name] ?? "")).trimEnd());
  }
  const header = sheetHeader(fileText(log), true);
  if (header === null || encodingOf(log.bytes) !== "utf-8") return null;
  const known = (cells: readonly string[]): number =>
    cells.filter((cell) => workHeading(cell) !== null).length;
  const delimiter = likelyDelimiter(header.text, known, split);
  const columns = split(header.text, delimiter).map(workHeading);
  const said = workHeadings.filter((name) => (entered[name] ?? "") !== "");
  if (said.some((name) => !columns.includes(name))) return null;
  const cells = columns.map((name) => (name === null ? "" : (entered[name] ?? "")));
  return withRow(log, csvLine(cells, delimiter).trimEnd());
}
