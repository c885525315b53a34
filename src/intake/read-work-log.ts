import type { Pool } from "../domain/pool.ts";
import type { Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { noRows, type RowCounts } from "../domain/row-counts.ts";
import type { WorkEntry } from "../domain/work.ts";
import { poolNames } from "./pool-names.ts";
import { KnownRows } from "./sheet/known-rows.ts";
import { type LogOptions, type LogSpec, readLogSheet, rejectOf } from "./sheet/log-sheet.ts";
import { standing } from "./undone.ts";
import { readWorkRow, type WorkHeading, workHeading, workHeadings } from "./work-row.ts";

/** What one work log gave. */
export interface WorkLog {
  /** Work that stands, in the order of the log. */
  readonly entries: readonly WorkEntry[];
  readonly rejected: readonly Reject[];
  /** Rows that were taken back, and those that took them back, count as used. */
  readonly rows: RowCounts;
  readonly warnings: readonly InputFault[];
  /** Why the log as a whole could not be read; empty where it could. */
  readonly faults: readonly InputFault[];
}

const needed: readonly WorkHeading[] = ["done_at", "lane", "point", "action"];

/** Columns of a work log. */
export const workSpec: LogSpec<WorkHeading> = {
  needed,
  optional: workHeadings.filter((heading) => !needed.includes(heading)),
  meaning: workHeading,
  dates: ["done_at"],
};

/**
 * Reads a work log: what was done to which connector, and when.
 *
 * Needed columns: done_at, lane, point, action; optional: device, minutes, cost, by, note. Lane and
 * device are null where the connector is shared above them, whatever the row says. Rows that a
 * later `undone` row takes back are left out. A row that can't be used is rejected with its reason;
 * one that repeats an earlier one in every column counts once. Nothing throws on bad input.
 */
export function readWorkLog(text: string, pool: Pool, file: string, options?: LogOptions): WorkLog {
  const sheet = readLogSheet(text, file, workSpec, options);
  if (sheet.fault !== null) {
    const { warnings } = sheet;
    return { entries: [], rejected: [], rows: noRows, warnings, faults: [sheet.fault] };
  }
  const names = poolNames(pool);
  const entries: WorkEntry[] = [];
  const rejected: Reject[] = [];
  const known = new KnownRows();
  const { stands, lost } = standing(sheet.rows);
  for (const row of stands) {
    const read = readWorkRow(row, pool, names, sheet.dates);
    if (!("doneAt" in read)) rejected.push(rejectOf(file, row, read));
    else if (!known.isRepeat(JSON.stringify(row.fields), row.line)) entries.push(read);
  }
  for (const row of lost) {
    const words = "undone: nothing of this moment and place stands that it could take back";
    rejected.push(rejectOf(file, row, [...row.broken, { kind: "undone", words }]));
  }
  rejected.sort((a, b) => a.line - b.line);
  const total = sheet.rows.length;
  const used = total - rejected.length - known.repeats;
  const rows = { in: total, used, rejected: rejected.length, repeats: known.repeats };
  const said = known.words === null ? [] : [{ file, place: "", message: known.words }];
  return { entries, rejected, rows, warnings: [...sheet.warnings, ...said], faults: [] };
}
