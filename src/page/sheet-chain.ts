import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import { noRows } from "../domain/row-counts.ts";
import { Fingerprints } from "../intake/fingerprints.ts";
import { ReadingsReader, type ReadingsSheet, strikesIn } from "../intake/read-readings.ts";
import { Strikes } from "../intake/strikes.ts";
import { fileText, type KeptFile } from "./record.ts";

/** What one of several sheets gave: of what stands in two of them, the first. */
export interface OneSheet extends ReadingsSheet {
  readonly name: string;
}

/** A sheet as far as it was read. */
interface OpenSheet {
  readonly name: string;
  readonly reader: ReadingsReader;
  readonly readings: Reading[];
  readonly rejected: Reject[];
  text: string;
  sheet: ReadingsSheet;
}

/** Characters handed to a reader at a time. */
const pieceLength = 1 << 16;

/**
 * A pool's sheets read one after the other, as the command reads them: what is struck out in any of
 * them is gathered first, and a reading that stands in several counts once. Most changes add a row to the
 * end of the last sheet: then its reader goes on where it was, for a season's sheets take many times as
 * long to read as one row, and rows come while somebody waits.
 */
export class SheetChain {
  #pool: Pool | null = null;
  #strikes = new Strikes();
  #struckIn = "";
  #seen = new Fingerprints();
  #open: OpenSheet[] = [];

  /** How many strikes stand in the sheets that were read last. */
  get struck(): number {
    return this.#strikes.size;
  }

  read(files: readonly KeptFile[], pool: Pool): readonly OneSheet[] {
    const texts = files.map(fileText);
    const known = this.#open;
    const same = (index: number): boolean =>
      known[index]?.name === files[index]?.name && known[index]?.text === texts[index];
    const last = files.length - 1;
    const isSame =
      this.#pool === pool &&
      known.length === files.length &&
      texts.every((_, index) => index === last || same(index));
    if (!isSame || !this.#goesOn(files, texts)) this.#readAnew(files, texts, pool);
    return this.#open.map(({ name, sheet }) => ({ name, ...sheet }));
  }

  /** Only more rows came to the last sheet, each on a line of its own, and none strikes one out. */
  #goesOn(files: readonly KeptFile[], texts: readonly string[]): boolean {
    const open = this.#open.at(-1);
    const text = texts.at(-1);
    if (open === undefined || text === undefined) return true;
    if (open.text === text) return open.name === files.at(-1)?.name;
    const goesOn =
      open.name === files.at(-1)?.name &&
      open.text.endsWith("\n") &&
      text.startsWith(open.text) &&
      open.sheet.faults.length === 0 &&
      !open.rejected.some((one) => one.kind === "open-quote") &&
      this.#struckIn === struckRows(texts);
    if (goesOn) this.#feed(open, text);
    return goesOn;
  }

  #readAnew(files: readonly KeptFile[], texts: readonly string[], pool: Pool): void {
    [this.#pool, this.#strikes, this.#seen] = [pool, new Strikes(), new Fingerprints()];
    this.#struckIn = struckRows(texts);
    this.#open = [];
    for (const [index, { name: file }] of files.entries())
      strikesIn([texts[index] ?? ""], pool, { file }, this.#strikes);
    files.forEach(({ name }, index) => {
      const [readings, rejected]: [Reading[], Reject[]] = [[], []];
      const sink = {
        reading: (reading: Reading) => void readings.push(reading),
        reject: (reject: Reject) => void rejected.push(reject),
      };
      const options = { file: name, seen: this.#seen, strikes: this.#strikes };
      const reader = new ReadingsReader(pool, sink, options);
      const sheet = { readings, rejected, rows: noRows, warnings: [], faults: [] };
      const open = { name, reader, readings, rejected, text: "", sheet };
      this.#open.push(open);
      this.#feed(open, texts[index] ?? "");
    });
  }

  #feed(open: OpenSheet, text: string): void {
    for (let start = open.text.length; start < text.length; start += pieceLength)
      if (!open.reader.feed(text.slice(start, start + pieceLength))) break;
    open.text = text;
    open.sheet = { readings: open.readings, rejected: open.rejected, ...open.reader.end() };
  }
}

/** The lines that say that they strike a reading out. */
const struckRows = (texts: readonly string[]): string =>
  texts.flatMap((text) => text.match(/^.*struck.*$/gim) ?? []).join("\n");
