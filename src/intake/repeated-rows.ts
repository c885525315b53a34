import type { InputFault } from "../domain/result.ts";
import type { RowPlace } from "./fingerprints.ts";

/** A row, and where the same reading stood before. */
export interface RepeatPlace {
  readonly here: RowPlace;
  readonly first: RowPlace;
}

/** Counts the readings of a sheet that are known already, and says so in one sentence. */
export class RepeatedRows {
  readonly #file: string;
  #count = 0;
  #one: RepeatPlace | null = null;
  #lastLine = 0;
  /** Files in which they stood before, with how many. */
  readonly #before = new Map<string, number>();

  constructor(file: string) {
    this.#file = file;
  }

  get repeats(): number {
    return this.#count;
  }

  add(here: RowPlace, first: RowPlace): void {
    this.#count += 1;
    this.#one ??= { here, first };
    this.#lastLine = here.line;
    this.#before.set(first.file, (this.#before.get(first.file) ?? 0) + 1);
  }

  /** What to say of them, `rows` being all of the sheet's; nothing where there are none. */
  warnings(rows: number): InputFault[] {
    if (this.#one === null) return [];
    const { here, first } = this.#one;
    const file = this.#file;
    const others = [...this.#before.keys()].filter((name) => name !== file);
    if (this.#count === rows && others.length > 0) {
      const all = rows === 1 ? "its reading" : `each of its ${rows} readings`;
      const where = others.join(", ");
      const message = `is a copy: ${all} stands in ${where} already; nothing is counted twice`;
      return [{ file, place: "", message }];
    }
    const where = first.file === file ? "" : ` of ${first.file}`;
    const more =
      this.#count === 1
        ? ""
        : ` (and ${this.#count - 1} more like it, up to line ${this.#lastLine})`;
    const message = `the same reading as line ${first.line}${where}${more}: counted once`;
    return [{ file, place: `line ${here.line}`, message }];
  }
}
