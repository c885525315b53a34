import { likelyDelimiter } from "./delimiter.ts";
import { headerCells, longestRow, type ParseCsv } from "./sheet-rows.ts";

/** What a kind of sheet makes of a row of headings. */
export interface SheetKind<Columns> {
  /** How many of these headings it knows. */
  readonly known: (headings: readonly string[]) => number;
  /** Where everything stands; a sentence where these headings can't be a sheet's. */
  readonly columns: (headings: readonly string[]) => Columns | string;
}

/** A sheet's header row, and where the rows behind it start. */
export interface SheetHeader<Columns> {
  readonly headings: readonly string[];
  readonly columns: Columns;
  readonly delimiter: string;
  /** Its first line, from 1, and the line behind it. */
  readonly line: number;
  readonly nextLine: number;
  /** Lines with something in them that stand above it: titles. */
  readonly above: number;
  /** It ends as RFC 4180 and this program write it, with CR and LF. */
  readonly crlf: boolean;
  /** All text behind it. */
  readonly rest: string;
}

/** Why a sheet has no header. */
export interface NoHeader {
  readonly place: string;
  readonly message: string;
}

/** Lines with something in them among which the header is looked for. */
const mostAbove = 30;

/** Lines that a heading with line breaks in it may take. */
const mostLines = 8;

interface Line {
  readonly text: string;
  readonly start: number;
  readonly number: number;
}

/** The first lines of a text, complete ones alone unless it is the last of it. */
function firstLines(text: string, last: boolean): Line[] {
  const lines: Line[] = [];
  let start = 0;
  let filled = 0;
  // A lone CR at the very end may be half of a CRLF.
  for (const found of text.matchAll(/\r\n|\n|\r(?!$)|$/g)) {
    const atEnd = found.index + found[0].length === text.length && found[0] === "";
    if (atEnd && !last) break;
    const line = text.slice(start, found.index);
    lines.push({ text: line, start, number: lines.length + 1 });
    start = found.index + found[0].length;
    if (start > longestRow || (line.trim() !== "" && ++filled > mostAbove + mostLines)) break;
  }
  return lines;
}

const quotes = (text: string): number => text.split('"').length - 1;

/** A line, and those behind it where a quoted heading goes on there: `"Volts` and `(V)"`. */
function joined(lines: readonly Line[], at: number): { text: string; lines: number } {
  let text = lines[at]!.text.replace(/^\uFEFF/, "");
  const alone = { text, lines: 1 };
  for (let i = at + 1; quotes(text) % 2 === 1; i++) {
    if (i === lines.length || i - at >= mostLines) return alone;
    text += `\n${lines[i]!.text}`;
    if (quotes(text) % 2 === 0) return { text, lines: i - at + 1 };
  }
  return alone;
}

/**
 * The first row whose headings can be a sheet's. Blank lines before it are passed over, and so are
 * titles, a byte-order mark and the `sep=;` line that some spreadsheets put first.
 *
 * Null where no complete line is one yet; with `last`, or after enough lines, the sentence of the
 * line that came nearest.
 */
export function sheetHeader<Columns>(
  text: string,
  last: boolean,
  parse: ParseCsv,
  kind: SheetKind<Columns>,
): SheetHeader<Columns> | NoHeader | null {
  const split = (line: string, delimiter: string) => headerCells(parse, line, delimiter);
  const lines = firstLines(text, last);
  let best: { known: number; fault: NoHeader } | null = null;
  let above = 0;
  for (const [at, line] of lines.entries()) {
    if (line.text.replace(/^\uFEFF/, "").trim() === "" || isSeparator(line.text)) continue;
    if (above > mostAbove) break;
    const own = joined(lines, at);
    const delimiter = likelyDelimiter(own.text, kind.known, split);
    const headings = split(own.text, delimiter);
    const columns = kind.columns(headings);
    if (typeof columns !== "string") {
      const end = lines[at + own.lines - 1]!;
      const behind = end.start + end.text.length;
      const crlf = text.startsWith("\r\n", behind);
      const rest = text.slice(behind + (crlf ? 2 : behind < text.length ? 1 : 0));
      const nextLine = line.number + own.lines;
      return { headings, columns, delimiter, line: line.number, nextLine, above, crlf, rest };
    }
    // A row of figures under unknown headings knows a point's name, and is still no header.
    const known = kind.known(headings) - headings.filter((text) => figure.test(text)).length;
    if (best === null || known > best.known)
      best = { known, fault: { place: `line ${line.number}`, message: columns } };
    above += 1;
  }
  if (!last && above <= mostAbove && text.length <= longestRow) return null;
  if (text.includes("\0")) return { place: "", message: "is not text, so it can't be a sheet" };
  if (lines.length === 0 || longestLine(text) > longestRow)
    return { place: "", message: `has no header row in its first ${longestRow} characters` };
  return best?.fault ?? { place: "", message: "is empty; its first row must name the columns" };
}

const isSeparator = (line: string): boolean => /^\uFEFF?\s*sep=.\s*$/i.test(line);

/** A number, or a date in numbers. */
const figure = /^\s*\d[\d.,/:\s-]*$/;

/** Length of the longest of the first lines. */
const longestLine = (text: string): number =>
  text
    .slice(0, 2 * longestRow)
    .split(/\r\n|\n|\r/)
    .reduce((most, line) => Math.max(most, line.length), 0);
