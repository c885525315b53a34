import { hasControl } from "./control-characters.ts";

/** What csv-parse is asked to do, said here so that our types need none of its own. */
export interface CsvQuestion {
  readonly delimiter: string;
  readonly record_delimiter: string | string[];
  readonly relax_quotes: boolean;
  readonly relax_column_count: boolean;
  /** Takes each record, and keeps none; left out: all records are returned. */
  readonly on_record?: (record: string[]) => null;
}

/** csv-parse's synchronous call, of the build that suits the door: browser or Node. */
export type ParseCsv = (text: string, options: CsvQuestion) => unknown;

/** What comes out of a sheet: rows, and lines that are none. */
export interface RowSink {
  /** `text()` gives the row's own text, during this call only. */
  row(record: readonly string[], line: number, text: () => string): void;
  /** A quotation mark opens on this line and does not close where it should. */
  openQuote(record: readonly string[], line: number, text: () => string): void;
}

/** Longest line, and longest quoted note over several lines, that is still a row [characters]. */
export const longestRow = 100_000;

const lineBreak = /\r\n|\n|\r/g;

/** Lines of a text, the last one counted whether it ends in a break or not. */
function linesIn(text: string): number {
  if (text.includes("\r")) {
    const breaks = text.match(lineBreak)!.length;
    return /[\r\n]$/.test(text) ? breaks : breaks + 1;
  }
  let lines = text.endsWith("\n") ? 0 : 1;
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) lines += 1;
  return lines;
}

/** So few quotation marks that a page is quicker read around them. */
const hasFewQuotes = (text: string): boolean =>
  text.split('"', 1 + text.length / 1000).length < text.length / 1000;

/** Where the line of a place begins (step -1) or where the next one does (step 1). */
function endOfLine(text: string, from: number, step: 1 | -1): number {
  if (step < 0) return 1 + Math.max(text.lastIndexOf("\n", from), text.lastIndexOf("\r", from));
  const found = /\r\n|\n|\r/g;
  found.lastIndex = from;
  const match = found.exec(text);
  return match === null ? text.length : match.index + match[0].length;
}

/** Line breaks inside the cells of a record. */
function breaksIn(record: readonly string[]): number {
  let breaks = 0;
  for (const cell of record) {
    if (cell.includes("\n") || cell.includes("\r")) breaks += cell.match(lineBreak)!.length;
  }
  return breaks;
}

/** The cells of a header line. */
export function headerCells(parse: ParseCsv, line: string, delimiter: string): readonly string[] {
  if (!line.includes('"')) return line.split(delimiter);
  const options = {
    delimiter,
    relax_quotes: true,
    relax_column_count: true,
    record_delimiter: "\n",
  };
  try {
    return (parse(line, options) as string[][])[0] ?? [];
  } catch {
    // A quotation mark that does not close: then it is a letter like any other.
    return line.split(delimiter);
  }
}

/** End of the last complete line; a lone CR at the very end may be half of a CRLF. */
function completeUpTo(text: string): number {
  const lf = text.lastIndexOf("\n");
  const cr = text.length < 2 ? -1 : text.lastIndexOf("\r", text.length - 2);
  return Math.max(lf, cr) + 1;
}

/**
 * Text in pieces of any size to rows with their line numbers.
 *
 * csv-parse reads page after page of complete lines, so memory is bounded by the piece. The rest
 * is what a person's sheet needs and a machine's parser can't guess: a stray quotation mark must
 * not swallow the rows behind it. A quoted note may hold line breaks, but where one of its lines
 * has as many columns as a row, or where it never closes, its first line is reported and the lines
 * behind it are read each by itself.
 */
export class SheetRows {
  readonly #parse: ParseCsv;
  readonly #sink: RowSink;
  readonly #delimiter: string;
  /** Delimiters of a full row. */
  readonly #full: number;
  /** Incomplete last line, or a quoted note whose end has not come yet. */
  #rest = "";
  #line: number;
  #page = "";
  #pageLine = 1;
  #pageLines: string[] | null = null;
  #someSpan = false;
  #span = 1;
  #control = false;
  #tail = false;
  readonly #text = (): string => this.#source().join("\n");

  constructor(
    options: { parse: ParseCsv; delimiter: string; columns: number; line: number },
    sink: RowSink,
  ) {
    this.#parse = options.parse;
    this.#delimiter = options.delimiter;
    this.#full = Math.max(1, options.columns - 1);
    this.#line = options.line;
    this.#sink = sink;
  }

  /** Takes the next piece of text. False where a line is too long for any sheet. */
  feed(piece: string): boolean {
    const text = this.#rest + piece;
    const end = completeUpTo(text);
    const open = text.slice(end);
    const kept = end === 0 ? "" : this.#read(text.slice(0, end), false);
    this.#rest = kept + open;
    return open.length <= longestRow;
  }

  /** The text is over. */
  end(): void {
    this.#read(this.#rest, true);
    this.#rest = "";
  }

  /** The line that would come next. */
  get line(): number {
    return this.#line;
  }

  /** The page of the row at hand holds a control character somewhere. */
  get control(): boolean {
    return this.#control;
  }

  /** The row at hand is the sheet's last and no line end stands behind it. */
  get tail(): boolean {
    return this.#tail;
  }

  /** Reads complete lines; gives back a note that may close in the next piece. */
  #read(text: string, last: boolean): string {
    let page = text;
    const sparse = hasFewQuotes(text);
    while (page !== "") {
      const piece = sparse ? this.#piece(page) : page;
      const whole = piece.length === page.length;
      const { records, closed } = this.#records(piece);
      this.#turnTo(piece);
      // As many records as lines: no cell holds a line break.
      this.#someSpan = !closed || (piece.includes('"') && records.length !== linesIn(piece));
      const unended = last && closed && whole && !/[\r\n]$/.test(piece);
      for (let i = 0; i < records.length; i++) {
        this.#tail = unended && i === records.length - 1;
        this.#take(records[i]!);
      }
      page = page.slice(piece.length);
      if (closed) continue;
      const open = this.#fromLine(this.#line);
      if (!last && open.length <= longestRow) return open;
      this.#span = 1;
      const lines = this.#source();
      this.#report(lines[0] ?? "");
      page = this.#fromLine(this.#line);
    }
    return "";
  }

  /**
   * What can be read by itself from a page's front: the lines before the first quotation mark, or one
   * line whose quotation marks close in it; else all of the page.
   */
  #piece(page: string): string {
    const first = page.indexOf('"');
    if (first < 0) return page;
    const start = first === 0 ? 0 : endOfLine(page, first - 1, -1);
    if (start > 0) return page.slice(0, start);
    const line = page.slice(0, endOfLine(page, first, 1));
    const { records, closed } = this.#records(line);
    return closed && records.length === 1 ? line : page;
  }

  /** All records of a page up to a quotation mark that does not close in it. */
  #records(page: string): { records: string[][]; closed: boolean } {
    // Without a quotation mark a row is a line and a cell ends at a delimiter: no corner to get
    // wrong, and several times as fast.
    if (!page.includes('"')) return { records: this.#plainRecords(page), closed: true };
    const records: string[][] = [];
    const keep = (record: string[]): null => {
      records.push(record);
      return null;
    };
    try {
      this.#csv(page, keep);
      return { records, closed: true };
    } catch (error) {
      if ((error as { code?: string }).code !== "CSV_QUOTE_NOT_CLOSED") throw error;
      return { records, closed: false };
    }
  }

  #plainRecords(page: string): string[][] {
    const lines = page.includes("\r") ? page.split(lineBreak) : page.split("\n");
    if (lines.at(-1) === "") lines.pop();
    const records: string[][] = new Array(lines.length);
    for (let i = 0; i < lines.length; i++) records[i] = lines[i]!.split(this.#delimiter);
    return records;
  }

  #csv(text: string, keep: (record: string[]) => null): void {
    this.#parse(text, {
      delimiter: this.#delimiter,
      // Every delimiter is tried at every letter, so only those that occur.
      record_delimiter: text.includes("\r") ? ["\r\n", "\n", "\r"] : ["\n"],
      relax_quotes: true,
      relax_column_count: true,
      on_record: keep,
    });
  }

  #take(record: readonly string[]): void {
    this.#span = this.#someSpan ? 1 + breaksIn(record) : 1;
    if (this.#span > 1) {
      const lines = this.#source();
      const swallowed = lines.slice(1).some((line) => this.#looksLikeRow(line));
      if (swallowed) {
        for (const line of lines) this.#alone(line);
        return;
      }
    }
    this.#sink.row(record, this.#line, this.#text);
    this.#line += this.#span;
  }

  #looksLikeRow(line: string): boolean {
    return line.split(this.#delimiter).length > this.#full;
  }

  /** Reads one line by itself. */
  #alone(line: string): void {
    this.#span = 1;
    const { records, closed } = this.#records(line);
    const [record] = records;
    if (!closed || record === undefined) this.#report(line);
    else {
      this.#sink.row(record, this.#line, this.#text);
      this.#line += 1;
    }
  }

  #report(line: string): void {
    this.#sink.openQuote(line.split(this.#delimiter), this.#line, this.#text);
    this.#line += 1;
  }

  #turnTo(page: string): void {
    this.#page = page;
    this.#control = hasControl(page);
    this.#pageLine = this.#line;
    this.#pageLines = null;
  }

  /** The page's own text from a line on. */
  #fromLine(line: number): string {
    const breaks = line - this.#pageLine;
    if (breaks === 0) return this.#page;
    let count = 0;
    for (const found of this.#page.matchAll(lineBreak)) {
      if (++count === breaks) return this.#page.slice(found.index + found[0].length);
    }
    return "";
  }

  /** The lines of the row at hand. */
  #source(): string[] {
    this.#pageLines ??= this.#page.split(lineBreak);
    const from = this.#line - this.#pageLine;
    return this.#pageLines.slice(from, from + this.#span);
  }
}
