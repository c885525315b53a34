import type { Moment, Reject } from "../../domain/reading.ts";
import { fault, type InputFault, ok, type Result } from "../../domain/result.ts";
import type { RowCounts } from "../../domain/row-counts.ts";
import { KnownRows } from "./known-rows.ts";
import { type LogOptions, type LogRow, type LogSpec, readLogSheet, rejectOf } from "./log-sheet.ts";
import type { RowFault } from "./row-fault.ts";
import type { SheetDates } from "./sheet-dates.ts";

/** What a small sheet gave: every row is a line, a reject or a repeat. */
export interface LogLines<Line> {
  readonly lines: readonly Line[];
  readonly rejected: readonly Reject[];
  readonly rows: RowCounts;
  readonly warnings: readonly InputFault[];
}

/** What every line of a log says. */
interface Noted {
  readonly line: number;
  readonly takenAt: Moment | null;
}

/**
 * Reads a small sheet row by row. Rows that are the same in every column count once where they have a
 * time of day; without one, the same row may tell of something done twice. Nothing throws.
 *
 * @param lineOf one row as a line; what is wrong with it goes into `faults`
 */
export function readLogLines<Heading extends string, Line extends Noted>(
  text: string,
  file: string,
  spec: LogSpec<Heading>,
  options: LogOptions | undefined,
  lineOf: (row: LogRow<Heading>, dates: SheetDates, faults: RowFault[]) => Line | null,
): Result<LogLines<Line>, InputFault> {
  const sheet = readLogSheet(text, file, spec, options);
  if (sheet.fault !== null) return fault(sheet.fault);
  const lines: Line[] = [];
  const rejected: Reject[] = [];
  const known = new KnownRows();
  for (const row of sheet.rows) {
    const faults = [...row.broken];
    const line = lineOf(row, sheet.dates, faults);
    if (line === null || faults.length > 0) rejected.push(rejectOf(file, row, faults));
    else if (!known.isRepeat(keyOf(line), row.line)) lines.push(line);
  }
  const said = known.words === null ? [] : [{ file, place: "", message: known.words }];
  const rows = {
    in: sheet.rows.length,
    used: lines.length,
    rejected: rejected.length,
    repeats: known.repeats,
  };
  return ok({ lines, rejected, rows, warnings: [...sheet.warnings, ...said] });
}

const keyOf = ({ line: _, takenAt, ...rest }: Noted): string | null =>
  takenAt === null || takenAt.seconds === null ? null : JSON.stringify([takenAt.seconds, rest]);
