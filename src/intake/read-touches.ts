import type { Pool } from "../domain/pool.ts";
import { type InputFault, ok, type Result } from "../domain/result.ts";
import { type TouchCheck, type TouchKind, touchPlaces } from "../domain/touch.ts";
import { circuitOfCells } from "./circuit-cells.ts";
import { type PoolNames, plainName, poolNames } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { type LogLines, readLogLines, STATE } from "./sheet/log-lines.ts";
import type { LogOptions, LogRow, LogSpec } from "./sheet/log-sheet.ts";
import { wholeNumber } from "./sheet/number-text.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import type { SheetDates } from "./sheet/sheet-dates.ts";
import { notOneOf, oneOf } from "./sheet/words-in-cells.ts";

/** What a sheet of touch checks gave: every row is a check, a reject or a repeat. */
export interface TouchesSheet extends Omit<LogLines<TouchCheck>, "lines"> {
  readonly touches: readonly TouchCheck[];
}

const kinds: readonly TouchKind[] = ["fingertip", "open-hand"];

/** Presses of one row: nobody makes a thousand. */
const mostPresses = 1000;

/** Columns of `touches.csv`. */
export const touchHeadings = [
  "lane",
  "kind",
  "tried",
  "registered",
  "device",
  "end",
  "place",
  "heat",
  "taken_at",
  "by",
  STATE,
] as const;
type Heading = (typeof touchHeadings)[number];

const byName = new Map(touchHeadings.map((one) => [plainName(one), one] as const));

export const touchSpec: LogSpec<Heading> = {
  needed: touchHeadings.slice(0, 4),
  optional: touchHeadings.slice(4),
  meaning: (text) => byName.get(plainName(text)) ?? null,
  dates: ["taken_at"],
};

/**
 * Reads `touches.csv`: columns lane, device, kind (`fingertip` or `open-hand`), tried, registered;
 * optional end, place (`left`, `middle`, `right`, `high`, `low`), heat,
 * taken_at, by and state (`struck` takes the same row back). An empty device is the lane's first. Rows that are the same in every
 * column count once where they have a time of day. Nothing throws on bad input.
 */
export function readTouches(
  text: string,
  pool: Pool,
  file: string,
  options?: LogOptions,
): Result<TouchesSheet, InputFault> {
  const names = poolNames(pool);
  const read = readLogLines(text, file, touchSpec, options, (row, dates, faults) =>
    touchOf(row, pool, names, dates, faults),
  );
  if (!read.ok) return read;
  const { lines: touches, ...rest } = read.value;
  return ok({ touches, ...rest });
}

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
  const place = cells.place === "" ? null : oneOf(cells.place, touchPlaces);
  if (cells.place !== "" && place === null)
    wrong("place", notOneOf("place", cells.place, touchPlaces));
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
  const [heat, by] = [cells.heat || null, cells.by || null];
  return { kind, tried, registered, place, heat, takenAt, by, line, ...named };
}
