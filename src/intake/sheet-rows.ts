import type { Options } from "csv-parse";

/** csv-parse's synchronous call, of the build that suits the door: browser or Node. */
export type ParseCsv = (text: string, options: Options) => unknown;

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
  const options = { delimiter, relax_quotes: true, record_delimiter: "\n" };
  try {
    return (parse(line, options) as string[][])[0] ?? [];
  } catch {
    // A quotation mark that does not close: then it is a letter like any other.
    return (parse(line, { ...options, quote: null }) as string[][])[0] ?? [];
  }
}

/** End of the last complete line; a lone CR at the very end may be half of a CRLF. */
function completeUpTo(text: string): number {
  const lf = text.lastIndexOf("\n");
  const cr = text.lastIndexOf("\r", text.length - 2);
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

  /** Reads complete lines; gives back a note that may close in the next piece. */
  #read(text: string, last: boolean): string {
    let page = text;
    while (page !== "") {
      const { records, closed } = this.#records(page);
      this.#turnTo(page);
      // As many records as lines: no cell holds a line break.
      this.#someSpan = !closed || (page.includes('"') && records.length !== linesIn(page));
      for (const record of records) this.#take(record);
      if (closed) return "";
      const open = this.#fromLine(this.#line);
      if (!last && open.length <= longestRow) return open;
      this.#span = 1;
      const lines = this.#source();
      this.#report(lines[0] ?? "");
      page = this.#fromLine(this.#line);
    }
    return "";
  }

  /** All records of a page up to a quotation mark that does not close in it. */
  #records(page: string): { records: string[][]; closed: boolean } {
    try {
      return { records: this.#csv(page) as string[][], closed: true };
    } catch (error) {
      if ((error as { code?: string }).code !== "CSV_QUOTE_NOT_CLOSED") throw error;
      const records: string[][] = [];
      const keep = (record: string[]): null => {
        records.push(record);
        return null;
      };
      try {
        this.#csv(page, { on_record: keep as unknown as NonNullable<Options["on_record"]> });
      } catch {
        // The same open quotation mark again.
      }
      return { records, closed: false };
    }
  }

  #csv(text: string, more: Options = {}): unknown {
    return this.#parse(text, {
      delimiter: this.#delimiter,
      // Every delimiter is tried at every letter, so only those that occur.
      record_delimiter: text.includes("\r") ? ["\r\n", "\n", "\r"] : ["\n"],
      relax_quotes: true,
      relax_column_count: true,
      ...more,
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
    const [record = []] = this.#csv(line, { quote: null }) as string[][];
    this.#sink.openQuote(record, this.#line, this.#text);
    this.#line += 1;
  }

  #turnTo(page: string): void {
    this.#page = page;
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
