import type { Reading } from "../domain/reading.ts";
import { RowTable } from "./row-table.ts";

/** Where a row stands. */
export interface RowPlace {
  readonly file: string;
  readonly line: number;
  /** Counts lines through all files, so that neighbours differ by one. */
  readonly number: number;
}

/**
 * Remembers which rows were seen in all files read together, 24 bytes a row at most.
 *
 * A row is known by two independent 32-bit hashes of its text: among a million different rows the
 * chance that any two are taken for one is 3e-8. What stands under them is twice the number of the
 * row's line through all files, from 1, and 1 more where it has an id.
 */
export class Fingerprints {
  readonly #rows = new RowTable();
  #files: { name: string; before: number }[] = [];
  #latest = 0;
  #one = 0;
  #two = 0;
  /** A number's bits. */
  readonly #number = new Float64Array(1);
  readonly #bits = new Uint32Array(this.#number.buffer);

  /** Rows from now on are of this file. */
  startFile(name: string): void {
    this.#files.push({ name, before: this.#latest });
  }

  /** Starts a row's text anew. */
  begin(): void {
    this.#one = 0x811c9dc5;
    this.#two = 0x9747b28c;
  }

  /** Adds a cell; where cells end counts, so that `ab|c` is not `a|bc`. */
  add(cell: string): void {
    let one = this.#one;
    let two = this.#two;
    for (let i = 0; i < cell.length; i++) {
      const code = cell.charCodeAt(i);
      one = Math.imul(one ^ code, 0x01000193);
      two = Math.imul(two ^ code, 0x5bd1e995);
      two ^= two >>> 15;
    }
    this.#one = Math.imul(one ^ 0x1f, 0x01000193);
    this.#two = Math.imul(two ^ 0x1f, 0x5bd1e995);
  }

  /** Adds a number by its bits. */
  addNumber(value: number): void {
    this.#number[0] = value;
    for (const bits of this.#bits) {
      this.#one = Math.imul(this.#one ^ bits ^ (bits >>> 16), 0x01000193);
      this.#two = Math.imul(this.#two ^ bits, 0x5bd1e995);
      this.#two ^= this.#two >>> 15;
    }
  }

  /**
   * Where a reading stands, and where the same one stood before: by its id where both have one, else
   * by place, moment and value where it has a time of day.
   */
  placeOfReading(reading: Reading): { here: RowPlace; first: RowPlace | null } {
    const { id, takenAt, line } = reading;
    // No row's text begins so: rows that have neither are known by their text.
    let place: { here: RowPlace; first: RowPlace | null } | null = null;
    if (id !== null) {
      this.begin();
      this.add("\u0002");
      this.add(id);
      // A wide row names all of its readings at once.
      this.add(reading.point);
      place = this.place(line);
      if (place.first !== null || takenAt === null || takenAt.seconds === null) return place;
    }
    this.begin();
    this.add("\u0001");
    this.add(String(reading.lane));
    this.add(reading.device);
    this.add(reading.end ?? "");
    this.add(reading.point);
    this.add(reading.state);
    this.addNumber(takenAt?.seconds ?? 0);
    this.addNumber(reading.volts);
    return this.place(line, id !== null);
  }

  /**
   * Where the text since `begin` was first seen, null where it is new and stands at `line`; and
   * where it stands now.
   */
  place(line: number, hasId = false): { here: RowPlace; first: RowPlace | null } {
    const file = this.#files.at(-1)!;
    const number = file.before + line;
    this.#latest = Math.max(this.#latest, number);
    const here = { file: file.name, line, number };
    const seen = this.#rows.findOrAdd(
      this.#one >>> 0,
      this.#two >>> 0,
      2 * number + (hasId ? 1 : 0),
    );
    if (seen === 0) return { here, first: null };
    // Two ids that differ are two readings, whatever else they share.
    const bothNamed = hasId && seen % 2 === 1;
    return { here, first: bothNamed ? null : this.#whereIs(Math.floor(seen / 2)) };
  }

  #whereIs(number: number): RowPlace {
    const file = this.#files.findLast(({ before }) => before < number)!;
    return { file: file.name, line: number - file.before, number };
  }
}
