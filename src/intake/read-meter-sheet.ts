import type { Reject } from "../domain/reading.ts";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { plainName } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import {
  type LogOptions,
  type LogRow,
  type LogSpec,
  readLogSheet,
  rejectOf,
} from "./sheet/log-sheet.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import { meantVolts, readVolts } from "./volts-text.ts";

/** One row that tells something about the meter. */
export interface MeterRow {
  /** Known series resistor; null in a sheet that compares people only [Ω]. */
  readonly ohms: Ohms | null;
  /** What was read: the sheet's point, else the resistor. */
  readonly point: string;
  /** Who read it; null where the sheet does not say. */
  readonly by: string | null;
  readonly volts: Volts;
  readonly line: number;
}

/** A sheet about the meter: every row of the file is in `rows` or in `rejected`. */
export interface MeterSheet {
  readonly rows: readonly MeterRow[];
  /** Finest step that a value was written with: the display's, unless it is given [V]. */
  readonly step: Volts;
  readonly rejected: readonly Reject[];
  readonly counts: RowCounts;
  readonly warnings: readonly InputFault[];
}

/** Headings by what they mean; the first is the column's own name. */
const synonyms = {
  volts: ["volts", "volt", "v", "voltage", "reading"],
  ohms: ["ohms", "ohm", "resistor", "resistor-ohms", "series-ohms", "resistance"],
  point: ["point", "part", "sample"],
  by: ["by", "operator", "person", "appraiser", "who"],
} as const;

type Heading = keyof typeof synonyms;
const headings = Object.keys(synonyms) as Heading[];

const spec: LogSpec<Heading> = {
  needed: ["volts"],
  optional: ["ohms", "point", "by"],
  meaning: (text) =>
    headings.find((one) => (synonyms[one] as readonly string[]).includes(plainName(text))) ?? null,
  dates: [],
  lacks: (has) =>
    has("ohms") || (has("point") && has("by"))
      ? null
      : "needs a column ohms (known series resistors), or point and by (who read which point)",
};

/** Above this nobody should be holding leads: extra-low voltage ends at 60 V direct current [V]. */
const mostVolts = 60;

/**
 * Reads a sheet about a meter. Needed: column volts, and either ohms (readings behind known series
 * resistors) or point and by (several people on several points). The same row twice is two readings.
 * Nothing throws; a row that cannot be used comes back with its line and the reason.
 */
export function readMeterSheet(
  text: string,
  file: string,
  options?: LogOptions,
): Result<MeterSheet, InputFault> {
  const sheet = readLogSheet(text, file, spec, options);
  if (sheet.fault !== null) return fault(sheet.fault);
  if (sheet.rows.length === 0)
    return fault({ file, place: "", message: "has no rows under its header" });
  const rows: MeterRow[] = [];
  const rejected: Reject[] = [];
  let step = Number.POSITIVE_INFINITY;
  for (const row of sheet.rows) {
    const faults = [...row.broken];
    const read = rowOf(row, faults);
    if (read === null || faults.length > 0) rejected.push(rejectOf(file, row, faults));
    else {
      rows.push(read.row);
      step = Math.min(step, read.step);
    }
  }
  const counts = {
    in: sheet.rows.length,
    used: rows.length,
    rejected: rejected.length,
    repeats: 0,
  };
  const finest = volts(Number.isFinite(step) ? step : 0);
  return ok({ rows, step: finest, rejected, counts, warnings: sheet.warnings });
}

function rowOf(
  { cells, line }: LogRow<Heading>,
  faults: RowFault[],
): { row: MeterRow; step: number } | null {
  const wrong = (kind: string, words: string) => void faults.push({ kind, words });
  const written = readVolts(cells.volts);
  const usable = written !== null && written.volts > 0 && written.volts <= mostVolts;
  if (!usable) wrong("volts", voltsReason(cells.volts, written?.volts ?? null));
  const value = cells.ohms === "" ? null : readOhms(cells.ohms);
  if (cells.ohms !== "" && value === null)
    wrong("ohms", `ohms is ${quoted(cells.ohms)}: not a resistance, such as 47, 4.7 or 1k`);
  if (cells.ohms === "" && cells.point === "")
    wrong("blank", "neither ohms nor point is filled in");
  if (!usable) return null;
  const row = {
    ohms: value === null ? null : ohms(value),
    point: cells.point || `${value} ohm`,
    by: cells.by || null,
    volts: volts(written.volts),
    line,
  };
  return { row, step: written.step };
}

/** `47`, `4,7`, `1k`, `2.2 kΩ`, `100 ohm`; null where it is none of them. */
function readOhms(text: string): number | null {
  const match = /^(\d{1,9}(?:[.,]\d{1,9})?) ?(k|m(?:eg)?)? ?(?:ohms?|Ω|Ω)?$/i.exec(text.trim());
  if (match === null) return null;
  const power = match[2] === undefined ? 0 : match[2].toLowerCase() === "k" ? 3 : 6;
  // A small m would be milliohms to some and megohms to others.
  if (match[2] === "m") return null;
  return Number(`${match[1]!.replace(",", ".")}e${power}`);
}

function voltsReason(text: string, value: number | null): string {
  const shown = quoted(text);
  if (text === "") return "volts is empty";
  if (value === 0) {
    return "volts is 0: the path was open or the meter off, which says nothing about the meter";
  }
  if (value !== null && value < 0) return `volts is ${shown}: negative; were the leads swapped?`;
  if (value !== null) return `volts is ${shown}: over ${mostVolts} V, no 5 V path`;
  const meant = meantVolts(text, mostVolts);
  return `volts is ${shown}: not a number${meant === null ? "" : `; did you mean ${meant}?`}`;
}
