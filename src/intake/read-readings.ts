import { parse as parseCsv } from "csv-parse/browser/esm/sync";
import { circuitKey } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import { Fingerprints, type RowPlace } from "./fingerprints.ts";
import { quoted } from "./quoted.ts";
import { type RowFacts, RowReader } from "./reading-row.ts";
import { RepeatedRows, type RepeatPlace } from "./repeated-rows.ts";
import { Repeats } from "./repeats.ts";
import { roundColumns } from "./round-columns.ts";
import { isReject, type RowOutcome, rowOutcome, type Sheet } from "./row-outcome.ts";
import { ownCopy } from "./sheet/cell-text.ts";
import { type DateOrder, dateQuestion } from "./sheet/date-text.ts";
import { SheetDates } from "./sheet/sheet-dates.ts";
import { type OpenedSheet, SheetReader, type SheetRow } from "./sheet/sheet-reader.ts";
import type { ParseCsv } from "./sheet/sheet-rows.ts";
import { readingsKind, type SheetColumns } from "./sheet-columns.ts";
import { STRUCK, Strikes } from "./strikes.ts";

/** What one sheet gave. */
export interface ReadingsSheet {
  readonly readings: readonly Reading[];
  readonly rejected: readonly Reject[];
  readonly rows: RowCounts;
  /** Read, but worth a look. */
  readonly warnings: readonly InputFault[];
  /** Why the sheet as a whole could not be read; empty where it could. */
  readonly faults: readonly InputFault[];
}

/** Where readings and rejects go, one by one, in the order of the sheet. */
export interface ReadingsSink {
  reading(reading: Reading): void;
  reject(reject: Reject): void;
  /** A row that takes back the reading that it repeats. */
  strike?(struck: Reading): void;
}

/** How to read, beside the pool. */
export interface ReadingsOptions {
  /** Name of the file, as the user named it. */
  readonly file: string;
  /** csv-parse's synchronous call; default: its browser build, which runs anywhere. */
  readonly parse?: ParseCsv;
  /** Rows of the files read before, so that a row that stands in two files is found out. */
  readonly seen?: Fingerprints;
  /** Readings struck out in any of the files: they are passed over, and count as used. */
  readonly strikes?: Strikes;
  /** Which number of `03/04/2026` is the day, where the user says. */
  readonly dates?: DateOrder | null;
}

/**
 * Reads one sheet of volt readings piece by piece, in bounded memory.
 *
 * `feed` takes text in pieces of any size, `end` finishes. Every row with something in it comes
 * out as a reading, as a reject with its line, its reason and its own text, or counts as a repeat; in
 * a wide sheet every cell with something in it does. Nothing throws on bad input.
 */
export class ReadingsReader {
  readonly #pool: Pool;
  readonly #file: string;
  readonly #sink: ReadingsSink;
  readonly #sheetReader: SheetReader<SheetColumns>;
  readonly #seen: Fingerprints;
  readonly #repeats = new Repeats();
  readonly #repeated: RepeatedRows;
  readonly #dates: SheetDates;
  readonly #strikes: Strikes;
  #sheet: Sheet | null = null;
  /** Rows whose dates wait for one that tells how they are meant, and all rows behind them. */
  #held: SheetRow[] = [];
  #rows = 0;
  #used = 0;
  #rejected = 0;

  constructor(pool: Pool, sink: ReadingsSink, options: ReadingsOptions) {
    const { file, parse = parseCsv as ParseCsv, seen = new Fingerprints(), dates = null } = options;
    this.#strikes = options.strikes ?? new Strikes();
    this.#pool = pool;
    this.#sink = sink;
    this.#file = file;
    this.#seen = seen;
    this.#seen.startFile(file);
    this.#repeated = new RepeatedRows(file);
    this.#dates = new SheetDates(dates);
    this.#sheetReader = new SheetReader<SheetColumns>(
      readingsKind(pool),
      { file, parse },
      { opened: (sheet) => this.#opened(sheet), row: (row) => this.#dated(row) },
    );
  }

  /** Takes the next piece; false where the sheet can't be read, and the rest need not come. */
  feed(piece: string): boolean {
    return this.#sheetReader.feed(piece);
  }

  /**
   * The sheet is over: what is to be said about it as a whole. Rows that are added to it later may
   * be fed all the same, and `end` asked again, where the sheet ended with a line's end outside any
   * quotation mark and each added row has a time of day.
   */
  end(): {
    warnings: readonly InputFault[];
    faults: readonly InputFault[];
    rows: RowCounts;
  } {
    let { faults, warnings } = this.#sheetReader.end();
    const { open } = this.#dates;
    if (faults.length === 0 && open !== null)
      faults = [{ file: this.#file, place: "", message: dateQuestion(open) }];
    if (faults.length === 0) {
      this.#release(this.#repeats.release(this.#rows));
      const rows = this.#rows;
      warnings = [
        ...warnings,
        ...this.#repeats.warnings(this.#file),
        ...this.#repeated.warnings(rows),
      ];
    }
    return { warnings, faults, rows: this.#counts() };
  }

  #counts(): RowCounts {
    const { repeats } = this.#repeated;
    return { in: this.#rows, used: this.#used, rejected: this.#rejected, repeats };
  }

  #opened({ columns, names, delimiter, line }: OpenedSheet<SheetColumns>): void {
    const reader = new RowReader(columns, this.#pool, this.#file, this.#dates);
    this.#sheet = { file: this.#file, columns, reader, delimiter };
    const ours: readonly string[] = roundColumns;
    const strays = columns.unknown.map((i) => names[i]!);
    const named = strays.filter((name) => !/^column \d+$/.test(name) && !ours.includes(name));
    if (named.length === 0) return;
    const more = named.length > 12 ? ` and ${named.length - 12} more` : "";
    const shown = named.slice(0, 12).map(quoted).join(", ");
    this.#sheetReader.warn(`line ${line}`, `not used: column ${shown}${more}`);
  }

  /** Rows pass as they are, unless a date among them leaves open what it means. */
  #dated(row: SheetRow): void {
    const text = this.#sheet!.reader.momentText(row.record);
    const known = text === "" || this.#dates.learn(text);
    if (this.#held.length === 0 && known) this.#row(row);
    else this.#hold(row);
  }

  #hold(row: SheetRow): void {
    const own = ownCopy(row.text());
    this.#held.push({ ...row, record: row.record.map(ownCopy), text: () => own });
    if (this.#dates.open !== null) return;
    const held = this.#held;
    this.#held = [];
    for (const one of held) this.#row(one);
  }

  #row(row: SheetRow): void {
    const sheet = this.#sheet!;
    const facts = sheet.reader.facts(row.record);
    const faults = row.faults.length === 0 ? facts.faults : [...row.faults, ...facts.faults];
    const whole = rowOutcome(sheet, row, facts, faults, row.extra);
    this.#rows += whole.length;
    const outcome = this.#standing(whole, facts);
    if (outcome.length === 0) return;
    if (outcome.every(isReject)) {
      this.#release(this.#repeats.release());
      for (const one of outcome) this.#emit(one);
    } else if (facts.id !== null || (facts.takenAt !== null && facts.takenAt.seconds !== null)) {
      this.#release(this.#repeats.release());
      for (const one of outcome) this.#emitUnlessKnown(one);
    } else {
      const { here, first } = this.#place(sheet, row, facts);
      if (first !== null) this.#release(this.#repeats.add({ here, first, outcome }));
      else {
        this.#release(this.#repeats.release());
        for (const one of outcome) this.#emit(one);
      }
    }
  }

  /** What still stands of a row: what takes back a reading, and what was taken back, is used up here. */
  #standing(whole: RowOutcome, facts: RowFacts): RowOutcome {
    if (!facts.struck && this.#strikes.size === 0) return whole;
    return whole.filter((one) => {
      if (isReject(one)) return true;
      if (facts.struck) this.#sink.strike?.(one);
      else if (!this.#strikes.has(one)) return true;
      this.#used += 1;
      return false;
    });
  }

  /** With an id or a time of day, one place's one value at one moment is one reading, wherever it stands. */
  #emitUnlessKnown(one: Reading | Reject): void {
    const place = isReject(one) ? null : this.#seen.placeOfReading(one);
    if (place === null || place.first === null) this.#emit(one);
    else this.#repeated.add(place.here, place.first);
  }

  /** Where the row stands, and where the same row stood before: all that it says counts. */
  #place(sheet: Sheet, row: SheetRow, facts: RowFacts): { here: RowPlace; first: RowPlace | null } {
    const { reader, columns } = sheet;
    const seen = this.#seen;
    seen.begin();
    seen.add(facts.circuit === null ? "" : circuitKey(facts.circuit.name));
    seen.add(facts.walk);
    seen.add(facts.takenAt?.text ?? "");
    seen.add(facts.meter ?? "");
    seen.add(facts.meterOn ? "on" : "");
    seen.add(facts.state);
    seen.add(facts.id ?? "");
    seen.add(facts.by ?? "");
    seen.add(facts.note ?? "");
    if (columns.layout === "long") seen.add(reader.cell(row.record, "point").toLowerCase());
    for (const { index } of columns.volts) seen.add(reader.at(row.record, index));
    for (const index of columns.unknown) seen.add(reader.at(row.record, index));
    return seen.place(row.line);
  }

  #release({ counted, repeats }: ReturnType<Repeats["release"]>): void {
    for (const one of counted) this.#emit(one);
    for (const { here, first } of repeats as readonly RepeatPlace[])
      this.#repeated.add(here, first);
  }

  #emit(one: Reading | Reject): void {
    if (isReject(one)) {
      this.#rejected += 1;
      this.#sink.reject(one);
    } else {
      this.#used += 1;
      this.#sink.reading(one);
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
  const how = parse === undefined ? { file } : { file, parse };
  const strikes = new Strikes();
  strikesIn([text], pool, how, strikes);
  const reader = new ReadingsReader(pool, sink, { strikes, ...how });
  feedAll(reader, [text]);
  return { readings, rejected, ...reader.end() };
}

function feedAll(reader: ReadingsReader, texts: Iterable<string>): void {
  for (const text of texts)
    for (let start = 0; start < text.length; start += pieceLength)
      if (!reader.feed(text.slice(start, start + pieceLength))) return;
}

/** Gathers what a sheet strikes out; a sheet without the word has nothing. */
export function strikesIn(
  texts: readonly string[],
  pool: Pool,
  options: ReadingsOptions,
  into: Strikes,
): void {
  if (!texts.some(saysStruck)) return;
  const nothing = (): void => {};
  const sink = { reading: nothing, reject: nothing, strike: (one: Reading) => into.add(one) };
  const reader = new ReadingsReader(pool, sink, options);
  feedAll(reader, texts);
  reader.end();
}

/** The word by which a row takes a reading back stands in this text. */
export const saysStruck = (text: string): boolean => text.toLowerCase().includes(STRUCK);
