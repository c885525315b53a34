import type { Moment, Reject } from "../../domain/reading.ts";
import { fault, type InputFault, ok, type Result } from "../../domain/result.ts";
import type { RowCounts } from "../../domain/row-counts.ts";
import { quoted } from "../quoted.ts";
import { STRUCK } from "../strikes.ts";
import { KnownRows } from "./known-rows.ts";
import { type LogOptions, type LogRow, type LogSpec, readLogSheet, rejectOf } from "./log-sheet.ts";
import type { RowFault } from "./row-fault.ts";
import type { SheetDates } from "./sheet-dates.ts";

/** What a small sheet gave: every row is a line, a reject or a repeat. */
export interface LogLines<Line> {
  readonly lines: readonly Line[];
  readonly rejected: readonly Reject[];
  readonly rows: RowCounts;
  /** Rows that count no more: strikes, and what they took back. */
  readonly struck: number;
  readonly warnings: readonly InputFault[];
}

/** The last column of every such sheet: `struck`, or nothing. */
export const STATE = "state";

/** What every line of a log says. */
interface Noted {
  readonly line: number;
  readonly takenAt: Moment | null;
}

/**
 * Reads a small sheet row by row. Rows that are the same in every column count once where they have a
 * time of day; without one, the same row may tell of something done twice. A row with the state
 * `struck` takes back every row that is otherwise the same, wherever either stands: nothing is erased,
 * and two copies of a log merge in any order. Nothing throws.
 *
 * @param lineOf one row as a line; what is wrong with it goes into `faults`
 */
export function readLogLines<Heading extends string, Line extends Noted>(
  text: string,
  file: string,
  spec: LogSpec<Heading | typeof STATE>,
  options: LogOptions | undefined,
  lineOf: (
    row: LogRow<Heading | typeof STATE>,
    dates: SheetDates,
    faults: RowFault[],
  ) => Line | null,
): Result<LogLines<Line>, InputFault> {
  const sheet = readLogSheet(text, file, spec, options);
  if (sheet.fault !== null) return fault(sheet.fault);
  const standing: Line[] = [];
  const strikes = new Set<string>();
  let struck = 0;
  const rejected: Reject[] = [];
  const known = new KnownRows();
  for (const row of sheet.rows) {
    const faults = [...row.broken];
    const line = lineOf(row, sheet.dates, faults);
    const isStrike = row.cells[STATE].toLowerCase() === STRUCK;
    if (!isStrike && row.cells[STATE] !== "") faults.push(notStruck(row.cells[STATE]));
    if (line === null || faults.length > 0) rejected.push(rejectOf(file, row, faults));
    else if (known.isRepeat(keyOf(line, isStrike), row.line)) continue;
    else if (!isStrike) standing.push(line);
    else {
      strikes.add(sameKey(line));
      struck++;
    }
  }
  const lines = standing.filter((line) => !strikes.has(sameKey(line)));
  struck += standing.length - lines.length;
  const said = known.words === null ? [] : [{ file, place: "", message: known.words }];
  const rows = {
    in: sheet.rows.length,
    used: lines.length + struck,
    rejected: rejected.length,
    repeats: known.repeats,
  };
  return ok({ lines, rejected, rows, struck, warnings: [...sheet.warnings, ...said] });
}

const notStruck = (text: string): RowFault => ({
  kind: "state",
  words: `state is ${quoted(text)}: ${STRUCK}, or nothing`,
});

/** What two rows share that say the same. */
const sameKey = ({ line: _, takenAt, ...rest }: Noted): string =>
  JSON.stringify([takenAt?.seconds ?? takenAt?.day ?? null, rest]);

/** Null where the same row may tell of something done twice. */
const keyOf = (line: Noted, isStrike: boolean): string | null =>
  line.takenAt === null || line.takenAt.seconds === null ? null : `${isStrike} ${sameKey(line)}`;
