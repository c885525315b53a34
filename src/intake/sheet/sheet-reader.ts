import type { InputFault } from "../../domain/result.ts";
import { quoted } from "../quoted.ts";
import { cellText } from "./cell-text.ts";
import { controlName } from "./control-characters.ts";
import { fieldsUnder, uniqueNames } from "./heading-names.ts";
import type { RowFault } from "./row-fault.ts";
import { type NoHeader, type SheetHeader, type SheetKind, sheetHeader } from "./sheet-header.ts";
import { longestRow, type ParseCsv, SheetRows } from "./sheet-rows.ts";

/** One row with something in it. */
export interface SheetRow {
  readonly record: readonly string[];
  /** Line of its beginning, the file's first being 1. */
  readonly line: number;
  /** Its own text; only while it is handed over. */
  readonly text: () => string;
  /** What is wrong with it as a row, before anybody looks at what its cells mean. */
  readonly faults: readonly RowFault[];
  /** What stood behind the last column, or what a column `extra` kept of that. */
  readonly extra: string;
}

/** A sheet whose header is read. */
export interface OpenedSheet<Columns> {
  readonly columns: Columns;
  /** Its headings, each a name of its own. */
  readonly names: readonly string[];
  readonly delimiter: string;
  /** Line of the header. */
  readonly line: number;
}

/** Where rows go, in their order. */
export interface SheetSink<Columns> {
  opened(sheet: OpenedSheet<Columns>): void;
  row(row: SheetRow): void;
}

const openQuote: RowFault = {
  kind: "open-quote",
  words: "a quotation mark opens here and does not close before the next row",
};
const headerAgain: RowFault = { kind: "header", words: "the headings once more" };
const none: readonly RowFault[] = [];

const isHeader = (header: SheetHeader<unknown> | NoHeader): header is SheetHeader<unknown> =>
  "headings" in header;

/**
 * The one way from a sheet's text to its rows, for every kind of sheet, piece by piece in bounded
 * memory: titles, header, delimiter, quotation marks, line ends of any kind, and what is wrong with a
 * row as a row. Every row with something in it is handed over exactly once. Nothing throws.
 */
export class SheetReader<Columns> {
  readonly #kind: SheetKind<Columns>;
  readonly #parse: ParseCsv;
  readonly #file: string;
  readonly #sink: SheetSink<Columns>;
  readonly #warnings: InputFault[] = [];
  #fault: InputFault | null = null;
  /** Text before the header is complete. */
  #head = "";
  #rows: SheetRows | null = null;
  #headings: readonly string[] = [];
  #names: readonly string[] = [];
  #delimiter = ",";
  #extra = -1;
  /** So far the sheet looks as a program writes it: CR and LF, as many cells as headings. */
  #even = false;

  constructor(
    kind: SheetKind<Columns>,
    options: { readonly file: string; readonly parse: ParseCsv },
    sink: SheetSink<Columns>,
  ) {
    this.#kind = kind;
    this.#parse = options.parse;
    this.#file = options.file;
    this.#sink = sink;
  }

  /** Takes the next piece; false where the sheet can't be read, and the rest need not come. */
  feed(piece: string): boolean {
    if (this.#fault !== null) return false;
    if (this.#rows !== null) return this.#feedRows(this.#rows, piece);
    this.#head += piece;
    return this.#start(false);
  }

  /** The text is over: what is to be said about the sheet as a whole. */
  end(): { warnings: readonly InputFault[]; faults: readonly InputFault[] } {
    if (this.#fault === null && this.#rows === null) this.#start(true);
    if (this.#fault === null) this.#rows?.end();
    return {
      warnings: this.#warnings,
      faults: this.#fault === null ? [] : [this.#fault],
    };
  }

  /** The sheet can't be used, for a reason that shows only while its rows are read. */
  stop(place: string, message: string): false {
    this.#fault = { file: this.#file, place, message };
    return false;
  }

  warn(place: string, message: string): void {
    this.#warnings.push({ file: this.#file, place, message });
  }

  #start(last: boolean): boolean {
    const header = sheetHeader(this.#head, last, this.#parse, this.#kind);
    if (header === null) return true;
    this.#head = "";
    if (!isHeader(header)) return this.stop(header.place, header.message);
    this.#open(header as SheetHeader<Columns>);
    return this.#feedRows(this.#rows!, header.rest);
  }

  #open(header: SheetHeader<Columns>): void {
    const { headings, columns, delimiter, line } = header;
    this.#headings = headings;
    this.#names = uniqueNames(headings);
    this.#delimiter = delimiter;
    this.#extra = headings.findIndex((one) => one.trim().toLowerCase() === "extra");
    this.#even = header.crlf;
    if (header.above > 0) {
      const [stand, are] =
        header.above === 1 ? ["a line stands", "is"] : [`${header.above} lines stand`, "are"];
      this.warn(`line ${line}`, `${stand} above the headings and ${are} taken for a title`);
    }
    this.#rows = new SheetRows(
      { parse: this.#parse, delimiter, columns: headings.length, line: header.nextLine },
      {
        row: (record, at, text) => this.#row(record, at, text, null),
        openQuote: (record, at, text) => this.#row(record, at, text, openQuote),
      },
    );
    this.#sink.opened({ columns, names: this.#names, delimiter, line });
  }

  #feedRows(rows: SheetRows, piece: string): boolean {
    if (rows.feed(piece)) return this.#fault === null;
    return this.stop(
      `line ${rows.line}`,
      `is longer than ${longestRow} characters, which no row is`,
    );
  }

  #row(record: readonly string[], line: number, text: () => string, broken: RowFault | null): void {
    if (isBlank(record)) return;
    const rows = this.#rows!;
    const { length } = this.#headings;
    const torn = rows.tail && this.#even && record.length < length;
    if (record.length < length && !rows.tail) this.#even = false;
    const extra =
      record.length <= length && this.#extra < 0 ? "" : this.#behind(record, this.#extra, length);
    const again = record[0] === this.#headings[0] && this.#isHeaderAgain(record);
    let faults = none;
    if (broken !== null || torn || again || extra !== "" || rows.control) {
      faults = [
        ...(broken === null ? [] : [broken]),
        ...(torn ? [cutShort(record.length, length)] : []),
        ...(again ? [headerAgain] : []),
        ...(extra === "" ? [] : [this.#tooMany(record.length, extra)]),
        ...(rows.control ? this.#controls(record) : []),
      ];
    }
    this.#sink.row({ record, line, text, faults, extra });
  }

  #behind(record: readonly string[], extra: number, columns: number): string {
    const behind = record.slice(columns).filter((cell) => cell.trim() !== "");
    const kept = extra < 0 ? "" : cellText(record[extra] ?? "");
    return [...(kept === "" ? [] : [kept]), ...behind].join(this.#delimiter);
  }

  #tooMany(cells: number, extra: string): RowFault {
    const { length } = this.#headings;
    const comma = this.#delimiter === "," ? "; a decimal comma needs quotes around its number" : "";
    const count = cells > length ? `${cells} values for ${length} columns` : "too many values";
    return { kind: "columns", words: `found ${count}, ${quoted(extra)} left over${comma}` };
  }

  #controls(record: readonly string[]): RowFault[] {
    const at = record.findIndex((cell) => controlName(cell.trim()) !== null);
    if (at < 0) return [];
    const [name, where] = [controlName(record[at]!.trim()), this.#names[at] ?? "a cell"];
    return [{ kind: "control", words: `${where} holds the control character ${name}` }];
  }

  #isHeaderAgain(record: readonly string[]): boolean {
    return (
      record.length === this.#headings.length &&
      record.length > 1 &&
      record.every((cell, i) => cell === this.#headings[i])
    );
  }

  /** A row's cells under the sheet's own headings, as `rejected.csv` writes them. */
  fields(record: readonly string[], extra: string): Record<string, string> {
    return fieldsUnder(this.#names, record.map(cellText), extra, this.#leftOut());
  }

  #leftOut(): Set<number> {
    const own = ["reason", "extra"];
    return new Set(this.#names.flatMap((name, i) => (own.includes(name.toLowerCase()) ? [i] : [])));
  }
}

const cutShort = (cells: number, columns: number): RowFault => ({
  kind: "torn",
  words: `cut short: ${cells} of ${columns} values and no line end, as a power cut leaves it`,
});

function isBlank(record: readonly string[]): boolean {
  for (const cell of record) if (cell !== "" && cell.trim() !== "") return false;
  return true;
}
