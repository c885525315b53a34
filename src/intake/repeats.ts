import type { InputFault } from "../domain/result.ts";
import type { RowPlace } from "./fingerprints.ts";
import type { RowOutcome } from "./row-outcome.ts";

/** Rows in a row from which on a repeated block counts as pasted twice. */
const pastedBlock = 8;

/** A row that is the same as an earlier one in every column and has no time of day. */
export interface Repeat {
  readonly here: RowPlace;
  readonly first: RowPlace;
  readonly ifSecondReading: RowOutcome;
  readonly ifPasted: RowOutcome;
}

/**
 * A block of eight rows or more that follows directly on the same block, or that stands in another
 * file in the same order, is nobody's second round: it was pasted twice.
 */
function isPasted(run: readonly Repeat[]): boolean {
  const start = run[0];
  if (start === undefined || run.length < pastedBlock) return false;
  const apart = start.here.number - start.first.number;
  return start.here.file !== start.first.file || apart % run.length === 0;
}

/**
 * Decides what repeated rows without a time of day are.
 *
 * A point that is read again may well show the same, and without times such a row can't be told
 * from one that was entered twice. So a single one counts as a second reading, with a warning, and
 * a whole block counts as pasted. Rows wait here until their block ends; `release` lets them out
 * before any later row, so the order of the sheet is kept.
 */
export class Repeats {
  #run: Repeat[] = [];
  #counted: Repeat[] = [];

  /** Takes a repeated row; gives back the rows of the block that it ended, if any. */
  add(next: Repeat): RowOutcome {
    const last = this.#run.at(-1);
    const carriesOn =
      last !== undefined &&
      next.here.number === last.here.number + 1 &&
      next.first.number === last.first.number + 1;
    const released = carriesOn ? [] : this.release();
    this.#run.push(next);
    return released;
  }

  /** The rows that were waiting. */
  release(): RowOutcome {
    if (this.#run.length === 0) return [];
    const pasted = isPasted(this.#run);
    const released = this.#run.flatMap((one) => (pasted ? one.ifPasted : one.ifSecondReading));
    if (!pasted) this.#counted.push(...this.#run);
    this.#run = [];
    return released;
  }

  /** One warning for all rows that count as second readings. */
  warnings(file: string): InputFault[] {
    const [one] = this.#counted;
    if (one === undefined) return [];
    const others = this.#counted.length - 1;
    const more = others === 0 ? "" : ` (and ${others} more like it)`;
    const where = one.first.file === file ? "" : ` of ${one.first.file}`;
    const message =
      `the same as line ${one.first.line}${where} in every column, with no time of day${more}: ` +
      "counted as a second reading of that point; if it was entered twice, delete one";
    return [{ file, place: `line ${one.here.line}`, message }];
  }
}
