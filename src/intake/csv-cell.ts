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

/** One line of RFC 4180, line end included. */
export const csvLine = (cells: readonly string[], delimiter = ","): string =>
  `${cells.map(csvCell).join(delimiter)}\r\n`;
