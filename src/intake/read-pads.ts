import type { DegreeUnit, PadNote } from "../domain/pad.ts";
import type { Pool } from "../domain/pool.ts";
import type { Moment } from "../domain/reading.ts";
import { type InputFault, ok, type Result } from "../domain/result.ts";
import { type PoolNames, plainName, poolNames } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { type LogLines, readLogLines, STATE } from "./sheet/log-lines.ts";
import type { LogOptions, LogRow, LogSpec } from "./sheet/log-sheet.ts";
import { decimal, wholeNumber } from "./sheet/number-text.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import type { SheetDates } from "./sheet/sheet-dates.ts";

/** What a log of water and pads gave: every row is a note, a reject or a repeat. */
export interface PadsSheet extends Omit<LogLines<PadNote>, "lines"> {
  readonly notes: readonly PadNote[];
}

/** Water that people swim in, with room on both sides: what lies outside was mistyped. */
const waterRange = { C: [-2, 60], F: [28, 140] } as const;

/** More strokes of a pump than anybody gives a pad. */
const mostStrokes = 500;

/** The longest soak that is no slip: a week [minutes]. */
const longestSoak = 10_080;

/** Columns of `pads.csv`. */
export const padHeadings = [
  "taken_at",
  "water_c",
  "water_f",
  "strokes",
  "lane",
  "soaked_minutes",
  "by",
  "note",
  STATE,
] as const;
type Heading = (typeof padHeadings)[number];

const byName = new Map(padHeadings.map((one) => [plainName(one), one] as const));

/** `Water (°C)` is `water_c`. */
function meaning(text: string): Heading | null {
  const plain = plainName(text);
  const water = /^water\b.*[^a-z](c|celsius|f|fahrenheit)\)?$/.exec(plain)?.[1];
  if (water !== undefined) return water.startsWith("c") ? "water_c" : "water_f";
  return byName.get(plain) ?? null;
}

export const padsSpec: LogSpec<Heading> = {
  needed: ["taken_at"],
  optional: padHeadings.slice(1),
  meaning,
  dates: ["taken_at"],
  lacks: (has) =>
    has("water_c") || has("water_f")
      ? null
      : "has no column water_c or water_f: the heading must say Celsius or Fahrenheit",
};

/**
 * Reads `pads.csv`: columns taken_at and water_c or water_f (the unit stands in the heading, so that
 * nobody can take one for the other); optional strokes, lane, soaked_minutes, by, note, state (`struck`
 * takes the same row back). A row may
 * give the water in both units if they agree within half a degree Fahrenheit. Rows that are the same
 * in every column count once where they have a time of day. Nothing throws.
 */
export function readPads(
  text: string,
  pool: Pool,
  file: string,
  options?: LogOptions,
): Result<PadsSheet, InputFault> {
  const names = poolNames(pool);
  const read = readLogLines(text, file, padsSpec, options, (row, dates, faults) =>
    noteOf(row, names, dates, faults),
  );
  if (!read.ok) return read;
  const { lines: notes, ...rest } = read.value;
  return ok({ notes, ...rest });
}

function noteOf(
  { cells, line }: LogRow<Heading>,
  names: PoolNames,
  dates: SheetDates,
  faults: RowFault[],
): PadNote | null {
  const wrong = (kind: string, words: string) => void faults.push({ kind, words });
  const takenAt = momentOf(cells.taken_at, dates, faults);
  const water = waterOf(cells.water_c, cells.water_f, faults);
  const lane = cells.lane === "" ? null : names.lane(cells.lane);
  if (cells.lane !== "" && lane === null) wrong("lane", names.unknown("lane", cells.lane));
  const strokes = wholeNumber(cells.strokes, 0, mostStrokes);
  if (cells.strokes !== "" && strokes === null)
    wrong(
      "strokes",
      `strokes is ${quoted(cells.strokes)}: a whole number from 0 to ${mostStrokes}`,
    );
  const soaked = decimal(cells.soaked_minutes);
  if (cells.soaked_minutes !== "" && !(soaked !== null && soaked >= 0 && soaked <= longestSoak))
    wrong("soaked", `soaked_minutes is ${quoted(cells.soaked_minutes)}: minutes, 0 or more`);
  if (takenAt === null || water === null) return null;
  const [by, note] = [cells.by || null, cells.note || null];
  return { takenAt, ...water, strokes, lane, soakedMinutes: soaked, by, note, line };
}

function momentOf(text: string, dates: SheetDates, faults: RowFault[]): Moment | null {
  const moment = dates.moment(text);
  const why =
    text === "" ? "taken_at is blank" : `taken_at is ${quoted(text)}: ${dates.fault(text)}`;
  if (moment === null) faults.push({ kind: "taken-at", words: why });
  return moment;
}

function waterOf(
  celsius: string,
  fahrenheit: string,
  faults: RowFault[],
): { water: number; unit: DegreeUnit } | null {
  const unit = celsius !== "" ? "C" : "F";
  const text = celsius !== "" ? celsius : fahrenheit;
  const water = decimal(text.replace(/\s*°?\s*[CF]$/i, ""));
  const [low, high] = waterRange[unit];
  const wrong = (words: string) => void faults.push({ kind: "water", words });
  if (water === null || water < low || water > high) {
    const column = `water_${unit.toLowerCase()}`;
    wrong(`${column} is ${quoted(text)}: degrees ${unit} from ${low} to ${high}`);
    return null;
  }
  if (celsius === "" || fahrenheit === "") return { water, unit };
  const other = decimal(fahrenheit.replace(/\s*°?\s*F$/i, ""));
  if (other === null || Math.abs((water * 9) / 5 + 32 - other) > 0.5)
    wrong(
      `water_c ${quoted(celsius)} and water_f ${quoted(fahrenheit)} are not the same temperature`,
    );
  return { water, unit };
}
