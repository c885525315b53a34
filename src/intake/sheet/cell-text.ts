/**
 * A cell without the blanks around it, and without the apostrophe by which `csv-cell.ts` keeps a
 * spreadsheet from running it as a formula.
 */
export function cellText(cell: string): string {
  const text = cell.trim();
  return text.startsWith("'") && /^'+[=+\-@]/.test(text) ? text.slice(1) : text;
}

/** A name or a number on one line: a line break inside it becomes a blank. */
export const oneLine = (text: string): string =>
  text.includes("\n") || text.includes("\r") ? text.replaceAll(/\s*[\r\n]+\s*/g, " ") : text;

/** A text cut out of a page keeps the page alive: a thousand rejects would keep the whole file. */
export const ownCopy = <Plain extends string | Record<string, string>>(plain: Plain): Plain =>
  JSON.parse(JSON.stringify(plain)) as Plain;
