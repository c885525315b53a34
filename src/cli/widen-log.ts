import { csvLine } from "../intake/csv-cell.ts";
import type { LogFile } from "./log-file.ts";

/**
 * A log's text with columns more, empty in every row that is there: a log of an older version has no
 * `minutes`, and what it says must not move. Null where some row is no row (its cells would come to
 * stand under other headings than before).
 */
export function widenedLog(text: string, log: LogFile, columns: readonly string[]): string | null {
  if (log.rows.some(({ broken }) => broken.length > 0)) return null;
  // Each line and the break behind it, in turns.
  const lines = text.split(/(\r\n|\n|\r)/);
  const addTo = (line: number, cells: string): void => {
    lines[2 * (line - 1)] += cells;
  };
  const cellsOf = (cells: readonly string[]): string =>
    log.delimiter + csvLine(cells, log.delimiter).trimEnd();
  const blank = cellsOf(columns.map(() => ""));
  addTo(log.headerLine, cellsOf(columns));
  for (const row of log.rows) addTo(row.line + row.text.split("\n").length - 1, blank);
  return lines.join("");
}
