import { parse as parseCsv } from "csv-parse/browser/esm/sync";
import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { Fingerprints, type RowPlace } from "./fingerprints.ts";
import { quoted } from "./quoted.ts";
import { type RowFacts, type RowFault, RowReader } from "./reading-row.ts";
import { Repeats } from "./repeats.ts";
import { roundColumns } from "./round-columns.ts";
import { isReject, type RowOutcome, rowOutcome, type Sheet, type SheetRow } from "./row-outcome.ts";
import { sheetColumns, sheetDelimiter } from "./sheet-columns.ts";
import { type SheetHeader, sheetHeader } from "./sheet-header.ts";
import { headerCells, longestRow, type ParseCsv, SheetRows } from "./sheet-rows.ts";

/** What one sheet gave. */
export interface ReadingsSheet {
  readonly readings: readonly Reading[];
  readonly rejected: readonly Reject[];
  /** Read, but worth a look. */
  readonly warnings: readonly InputFault[];
  /** Why the sheet as a whole could not be read; empty where it could. */
  readonly faults: readonly InputFault[];
}

/** Where readings and rejects go, one by one, in the order of the sheet. */
export interface ReadingsSink {
  reading(reading: Reading): void;
  reject(reject: Reject): void;
}

/** How to read, beside the pool. */
export interface ReadingsOptions {
  /** Name of the file, as the user named it. */
  readonly file: string;
  /** csv-parse's synchronous call; default: its browser build, which runs anywhere. */
  readonly parse?: ParseCsv;
  /** Rows of the files read before, so that a row that stands in two files is found out. */
  readonly seen?: Fingerprints;
}

const openQuote: RowFault = {
  kind: "open-quote",
  words: "a quotation mark opens here and does not close before the next row",
};

/**
 * Reads one sheet of volt readings piece by piece, in bounded memory.
 *
 * `feed` takes text in pieces of any size, `end` finishes. Every row with something in it comes
 * out as a reading or as a reject with its line, its reason and its own text; in a wide sheet every
 * cell with something in it does. Nothing throws on bad input.
 */
export class ReadingsReader {
  readonly #pool: Pool;
  readonly #file: string;
  readonly #sink: ReadingsSink;
  readonly #parse: ParseCsv;
  readonly #seen: Fingerprints;
  readonly #repeats = new Repeats();
  readonly #warnings: InputFault[] = [];
  #fault: InputFault | null = null;
  /** Text before the header is complete. */
  #head = "";
  #delimiter = ",";
  #sheet: Sheet | null = null;
  #rows: SheetRows | null = null;

  constructor(pool: Pool, sink: ReadingsSink, options: ReadingsOptions) {
    this.#pool = pool;
    this.#sink = sink;
    this.#file = options.file;
    this.#parse = options.parse ?? (parseCsv as ParseCsv);
    this.#seen = options.seen ?? new Fingerprints();
    this.#seen.startFile(options.file);
  }

  /** Takes the next piece; false where the sheet can't be read, and the rest need not come. */
  feed(piece: string): boolean {
    if (this.#fault !== null) return false;
    if (this.#rows !== null) return this.#feedRows(this.#rows, piece);
    this.#head += piece;
    const header = sheetHeader(this.#head, false);
    if (header !== null) return this.#start(header);
    if (this.#head.length <= longestRow) return true;
    if (this.#head.includes("\0")) return this.#stop("", "is not text, so it can't be a sheet");
    return this.#stop("", `has no header row in its first ${longestRow} characters`);
  }

  /**
   * The sheet is over: what is to be said about it as a whole. Rows that are added to it later may
   * be fed all the same, and `end` asked again, where the sheet ended with a line's end outside any
   * quotation mark and each added row has a time of day.
   */
  end(): { warnings: readonly InputFault[]; faults: readonly InputFault[] } {
    if (this.#fault === null && this.#rows === null) {
      const header = sheetHeader(this.#head, true);
      if (header === null) this.#stop("", "is empty; its first row must name the columns");
      else this.#start(header);
    }
    if (this.#fault !== null) return { warnings: this.#warnings, faults: [this.#fault] };
    this.#rows?.end();
    this.#emit(this.#repeats.release());
    return { warnings: [...this.#warnings, ...this.#repeats.warnings(this.#file)], faults: [] };
  }

  #stop(place: string, message: string): false {
    this.#fault = { file: this.#file, place, message };
    return false;
  }

  #start(header: SheetHeader): boolean {
    this.#head = "";
    if (header.text.includes("\0")) return this.#stop("", "is not text, so it can't be a sheet");
    const split = (line: string, delimiter: string) => headerCells(this.#parse, line, delimiter);
    this.#delimiter = sheetDelimiter(header.text, this.#pool, split);
    const columns = sheetColumns(split(header.text, this.#delimiter), this.#pool);
    if (typeof columns === "string") {
      if (header.rest.includes("\0")) return this.#stop("", "is not text, so it can't be a sheet");
      return this.#stop(`line ${header.line}`, columns);
    }
    const reader = new RowReader(columns, this.#pool, this.#file);
    this.#sheet = { file: this.#file, columns, reader };
    const strays = columns.unknown.map((i) => columns.names[i]!);
    const ours: readonly string[] = roundColumns;
    const named = strays.filter((name) => !/^column \d+$/.test(name) && !ours.includes(name));
    if (named.length > 0) {
      const message = `not used: column ${named.map(quoted).join(", ")}`;
      this.#warnings.push({ file: this.#file, place: `line ${header.line}`, message });
    }
    const shape = { parse: this.#parse, delimiter: this.#delimiter, columns: columns.names.length };
    this.#rows = new SheetRows(
      { ...shape, line: header.line + 1 },
      {
        row: (record, line, text) => this.#row({ record, line, text }, null),
        openQuote: (record, line, text) => this.#row({ record, line, text }, openQuote),
      },
    );
    return this.#feedRows(this.#rows, header.rest);
  }

  #feedRows(rows: SheetRows, piece: string): boolean {
    if (rows.feed(piece)) return true;
    const words = `is longer than ${longestRow} characters, which no row of readings is`;
    return this.#stop(`line ${rows.line}`, words);
  }

  #row(row: SheetRow, broken: RowFault | null): void {
    const sheet = this.#sheet!;
    if (row.record.every((cell) => cell.trim() === "")) return;
    const facts = sheet.reader.facts(row.record);
    const extra = this.#extra(sheet, row.record);
    const faults = [...facts.faults];
    if (broken !== null) faults.unshift(broken);
    if (extra !== "") faults.unshift(this.#tooMany(sheet, row.record, extra));
    const outcome = rowOutcome(sheet, row, facts, faults, extra);
    if (outcome.every(isReject)) {
      this.#emit(this.#repeats.release());
      this.#emit(outcome);
    } else this.#emitUnlessRepeated(sheet, row, facts, outcome);
  }

  /** Values behind the last column, which belong nowhere; or what an `extra` column kept of them. */
  #extra(sheet: Sheet, record: readonly string[]): string {
    const { names, at } = sheet.columns;
    if (record.length <= names.length && at.extra === undefined) return "";
    const behind = record.slice(names.length).filter((cell) => cell.trim() !== "");
    const kept = sheet.reader.cell(record, "extra");
    return [...(kept === "" ? [] : [kept]), ...behind].join(this.#delimiter);
  }

  #tooMany(sheet: Sheet, record: readonly string[], extra: string): RowFault {
    const columns = sheet.columns.names.length;
    const comma = this.#delimiter === "," ? "; a decimal comma needs quotes around its number" : "";
    const count =
      record.length > columns
        ? `${record.length} values for ${columns} columns`
        : "too many values";
    return { kind: "columns", words: `found ${count}, ${quoted(extra)} left over${comma}` };
  }

  /** The same row again is a slip where it has a time of day; else `Repeats` decides. */
  #emitUnlessRepeated(sheet: Sheet, row: SheetRow, facts: RowFacts, outcome: RowOutcome): void {
    const { here, first } = this.#place(sheet, row, facts);
    if (first === null) {
      this.#emit(this.#repeats.release());
      this.#emit(outcome);
      return;
    }
    const where = first.file === this.#file ? "" : ` of ${first.file}`;
    const words = `the same as line ${first.line}${where} in every column`;
    const rejects = rowOutcome(sheet, row, facts, [{ kind: "duplicate", words }], "");
    if (facts.takenAt !== null && facts.takenAt.seconds !== null) {
      this.#emit(this.#repeats.release());
      this.#emit(rejects);
    } else {
      this.#emit(this.#repeats.add({ here, first, ifSecondReading: outcome, ifPasted: rejects }));
    }
  }

  /** Where the row stands, and where the same row stood before: all that it says counts. */
  #place(sheet: Sheet, row: SheetRow, facts: RowFacts): { here: RowPlace; first: RowPlace | null } {
    const { reader, columns } = sheet;
    const seen = this.#seen;
    seen.begin();
    seen.add(String(facts.lane));
    seen.add(facts.device ?? "");
    seen.add(facts.walk);
    seen.add(facts.takenAt?.text ?? "");
    seen.add(facts.meter ?? "");
    seen.add(facts.meterOn ? "on" : "");
    seen.add(facts.state);
    seen.add(facts.by ?? "");
    seen.add(facts.note ?? "");
    if (columns.layout === "long") seen.add(reader.cell(row.record, "point").toLowerCase());
    for (const { index } of columns.volts) seen.add(reader.at(row.record, index));
    for (const index of columns.unknown) seen.add(reader.at(row.record, index));
    return seen.place(row.line);
  }

  #emit(outcome: RowOutcome): void {
    for (const one of outcome) {
      if (isReject(one)) this.#sink.reject(one);
      else this.#sink.reading(one);
    }
  }
}

/** Characters handed to the reader at a time. */
const pieceLength = 1 << 16;

/**
 * Reads a whole sheet of readings from text, long or wide, every delimiter and spelling that the
 * file contract names. `file` is the name that rejects and faults carry, and, without its folder
 * and ending, the walk of rows that have neither `walk` nor `taken_at`. `parse` as in
 * `ReadingsOptions`: Deno needs csv-parse's own build, its browser build leans on `__proto__`.
 */
export function readReadings(
  text: string,
  pool: Pool,
  file: string,
  parse?: ParseCsv,
): ReadingsSheet {
  const readings: Reading[] = [];
  const rejected: Reject[] = [];
  const sink = {
    reading: (reading: Reading) => void readings.push(reading),
    reject: (reject: Reject) => void rejected.push(reject),
  };
  const reader = new ReadingsReader(pool, sink, parse === undefined ? { file } : { file, parse });
  for (let start = 0; start < text.length; start += pieceLength) {
    if (!reader.feed(text.slice(start, start + pieceLength))) break;
  }
  return { readings, rejected, ...reader.end() };
}
