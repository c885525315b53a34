/** A number is never a formula, whatever its sign. */
const plainNumber = /^[+-]?\d+([.,]\d+)?$/;

/**
 * One cell of RFC 4180, safe in a spreadsheet.
 *
 * A text that a spreadsheet would run as a formula gets an apostrophe before it, which spreadsheets
 * hide and the readers here take off again. Numbers are left alone.
 */
function csvCell(text: string): string {
  const isFormula = /^'*[=+\-@\t\r]/.test(text) && !plainNumber.test(text);
  const safe = isFormula ? `'${text}` : text;
  return /[",;\t\r\n]|^\s|\s$/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/**
 * A line whose last cell stands in quotation marks if it says anything: what a power cut leaves of it
 * can't be taken for the whole.
 */
export function framedLine(cells: readonly string[], delimiter = ","): string {
  const last = csvCell(cells.at(-1) ?? "");
  const framed = last === "" || last.startsWith('"') ? last : `"${last}"`;
  return `${[...cells.slice(0, -1).map(csvCell), framed].join(delimiter)}\r\n`;
}

/** One line of RFC 4180, line end included. */
export const csvLine = (cells: readonly string[], delimiter = ","): string =>
  `${cells.map(csvCell).join(delimiter)}\r\n`;
