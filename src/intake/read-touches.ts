import type { Pool } from "../domain/pool.ts";
import type { Reject } from "../domain/reading.ts";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import type { TouchCheck, TouchKind } from "../domain/touch.ts";
import { circuitOfCells } from "./circuit-cells.ts";
import { type PoolNames, plainName, poolNames } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { KnownRows } from "./sheet/known-rows.ts";
import {
  type LogOptions,
  type LogRow,
  type LogSpec,
  readLogSheet,
  rejectOf,
} from "./sheet/log-sheet.ts";
import { wholeNumber } from "./sheet/number-text.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import type { SheetDates } from "./sheet/sheet-dates.ts";
import { notOneOf, oneOf } from "./sheet/words-in-cells.ts";

/** What a sheet of touch checks gave: every row is a check, a reject or a repeat. */
export interface TouchesSheet {
  readonly touches: readonly TouchCheck[];
  readonly rejected: readonly Reject[];
  readonly rows: RowCounts;
  readonly warnings: readonly InputFault[];
}

const kinds: readonly TouchKind[] = ["fingertip", "open-hand"];

/** Presses of one row: nobody makes a thousand. */
const mostPresses = 1000;

const headings = [
  "lane",
  "kind",
  "tried",
  "registered",
  "device",
  "end",
  "taken_at",
  "by",
] as const;
type Heading = (typeof headings)[number];

const byName = new Map(headings.map((one) => [plainName(one), one] as const));

const spec: LogSpec<Heading> = {
  needed: headings.slice(0, 4),
  optional: headings.slice(4),
  meaning: (text) => byName.get(plainName(text)) ?? null,
  dates: ["taken_at"],
};

/**
 * Reads `touches.csv`: columns lane, device, kind (`fingertip` or `open-hand`), tried, registered;
 * optional end, taken_at and by. An empty device is the lane's first. Rows that are the same in every
 * column count once where they have a time of day. Nothing throws on bad input.
 */
export function readTouches(
  text: string,
  pool: Pool,
  file: string,
  options?: LogOptions,
): Result<TouchesSheet, InputFault> {
  const sheet = readLogSheet(text, file, spec, options);
  if (sheet.fault !== null) return fault(sheet.fault);
  const touches: TouchCheck[] = [];
  const rejected: Reject[] = [];
  const known = new KnownRows();
  const names = poolNames(pool);
  for (const row of sheet.rows) {
    const faults = [...row.broken];
    const check = touchOf(row, pool, names, sheet.dates, faults);
    if (check === null || faults.length > 0) rejected.push(rejectOf(file, row, faults));
    else if (!known.isRepeat(keyOf(check), row.line)) touches.push(check);
  }
  const said = known.words === null ? [] : [{ file, place: "", message: known.words }];
  const rows = {
    in: sheet.rows.length,
    used: touches.length,
    rejected: rejected.length,
    repeats: known.repeats,
  };
  return ok({ touches, rejected, rows, warnings: [...sheet.warnings, ...said] });
}

/** Without a time of day the same row may be a second series of presses. */
const keyOf = ({ line: _, takenAt, ...rest }: TouchCheck): string | null =>
  takenAt === null || takenAt.seconds === null ? null : JSON.stringify([takenAt.seconds, rest]);

function touchOf(
  { cells, line }: LogRow<Heading>,
  pool: Pool,
  names: PoolNames,
  dates: SheetDates,
  faults: RowFault[],
): TouchCheck | null {
  const wrong = (kind: string, words: string) => void faults.push({ kind, words });
  const found = circuitOfCells(pool, names, cells);
  const named = "circuit" in found ? found.name : null;
  if (!("circuit" in found)) faults.push(...found);
  const kind = oneOf(cells.kind, kinds);
  if (kind === null) wrong("kind", notOneOf("kind", cells.kind, kinds));
  const tried = wholeNumber(cells.tried, 1, mostPresses);
  const registered = wholeNumber(cells.registered, 0, tried ?? mostPresses);
  if (tried === null || registered === null)
    wrong(
      "presses",
      `registered is ${quoted(cells.registered)} of tried ${quoted(cells.tried)}: ` +
        "whole numbers, at least 1 tried and no more registered than tried",
    );
  const takenAt = cells.taken_at === "" ? null : dates.moment(cells.taken_at);
  if (cells.taken_at !== "" && takenAt === null)
    wrong("taken-at", `taken_at is ${quoted(cells.taken_at)}: ${dates.fault(cells.taken_at)}`);
  if (named === null || kind === null) return null;
  if (tried === null || registered === null) return null;
  return { ...named, kind, tried, registered, takenAt, by: cells.by || null, line };
}
