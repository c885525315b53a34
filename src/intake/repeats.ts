import type { InputFault } from "../domain/result.ts";
import type { RepeatPlace } from "./repeated-rows.ts";
import { isReject, type RowOutcome } from "./row-outcome.ts";

/** Rows in a row from which on a repeated block counts as pasted twice. */
const pastedBlock = 8;

/** A row that is the same as an earlier one in every column and has no time of day. */
export interface Repeat extends RepeatPlace {
  /** What it says, if it is a second reading. */
  readonly outcome: RowOutcome;
}

/** Rows that waited: second readings, and those that say nothing new. */
export interface Released {
  readonly counted: RowOutcome;
  readonly repeats: readonly RepeatPlace[];
}

const nothing: Released = { counted: [], repeats: [] };

/** A row of several readings (a wide one) repeats each of them; what was no reading stays a reject. */
const asRepeats = (run: readonly Repeat[]): Released => ({
  counted: run.flatMap(({ outcome }) => outcome.filter(isReject)),
  repeats: run.flatMap(({ here, first, outcome }) =>
    outcome.filter((one) => !isReject(one)).map(() => ({ here, first })),
  ),
});

/**
 * A block of eight rows or more that follows directly on the same block, or that stands in another
 * file in the same order, is nobody's second round: it was pasted twice. So is a whole sheet, however
 * short, whose rows all stand in another one.
 */
function isPasted(run: readonly Repeat[], wholeSheet: boolean): boolean {
  const start = run[0]!;
  const elsewhere = start.here.file !== start.first.file;
  if (run.length < pastedBlock) return wholeSheet && elsewhere;
  const apart = start.here.number - start.first.number;
  return elsewhere || apart % run.length === 0;
}

/**
 * Decides what repeated rows without a time of day are.
 *
 * A point that is read again may well show the same, and without times such a row can't be told
 * from one that was entered twice. So a single one counts as a second reading, with a warning, and
 * a whole block counts as pasted. Rows wait here until their block ends, or is long enough to be sure
 * of; `release` lets them out before any later row, so the order of the sheet is kept.
 */
export class Repeats {
  #run: Repeat[] = [];
  #counted: Repeat[] = [];
  /** The block at hand is pasted for sure, and this many rows of it are out already. */
  #out = 0;
  #last: RepeatPlace | null = null;

  /** Takes a repeated row; gives back the rows of the block that it ended, if any. */
  add(next: Repeat): Released {
    const last = this.#last;
    const carriesOn =
      last !== null &&
      next.here.number === last.here.number + 1 &&
      next.first.number === last.first.number + 1;
    const released = carriesOn ? nothing : this.release();
    this.#run.push(next);
    this.#last = { here: next.here, first: next.first };
    const sure = next.here.file !== next.first.file && this.#run.length + this.#out >= pastedBlock;
    if (!sure) return released;
    const { counted, repeats } = asRepeats(this.#run);
    this.#out += this.#run.length;
    this.#run = [];
    return {
      counted: [...released.counted, ...counted],
      repeats: [...released.repeats, ...repeats],
    };
  }

  /** The rows that were waiting; at a sheet's end `rows` is how many readings and rejects it had. */
  release(rows: number | null = null): Released {
    const run = this.#run;
    const waiting = run.reduce((sum, { outcome }) => sum + outcome.length, 0);
    this.#run = [];
    this.#out = 0;
    this.#last = null;
    if (run.length === 0) return nothing;
    if (isPasted(run, waiting === rows)) return asRepeats(run);
    this.#counted.push(...run);
    return { counted: run.flatMap(({ outcome }) => outcome), repeats: [] };
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
