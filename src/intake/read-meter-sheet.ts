import { z } from "zod";
import type { Reject } from "../domain/reading.ts";
import { fault, type InputFault, ok, type Result } from "../domain/result.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { type LogRow, logRows } from "./log-rows.ts";
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
}

/** Headings by what they mean; the first is the column's own name. */
const headings = {
  volts: ["volts", "volt", "v", "voltage", "reading"],
  ohms: ["ohms", "ohm", "resistor", "resistor_ohms", "series_ohms", "resistance"],
  point: ["point", "part", "sample"],
  by: ["by", "operator", "person", "appraiser", "who"],
} as const;

/** Above this nobody should be holding leads: extra-low voltage ends at 60 V direct current [V]. */
const mostVolts = 60;

const rowSchema = z.object({
  volts: z.string().transform((text, context) => {
    const written = readVolts(text);
    if (written !== null && written.volts > 0 && written.volts <= mostVolts) return written;
    context.addIssue(voltsReason(text, written?.volts ?? null));
    return z.NEVER;
  }),
  ohms: z.string().transform((text, context) => {
    const value = readOhms(text);
    if (text === "" || value !== null) return value;
    context.addIssue(`ohms is '${text.slice(0, 40)}': not a resistance, such as 47, 4.7 or 1k`);
    return z.NEVER;
  }),
  point: z.string(),
  by: z.string(),
});

/**
 * Reads a sheet about a meter. Needed: column volts, and either ohms (readings behind known series
 * resistors) or point and by (several people on several points). Nothing throws; a row that cannot
 * be used comes back with its line and the reason.
 */
export function readMeterSheet(text: string, file: string): Result<MeterSheet, InputFault> {
  const log = logRows(text, file, [], Object.values(headings).flat());
  if (!log.ok) return fault(log.error);
  const wrong = (place: string, message: string) => fault({ file, place, message });
  const first = log.value[0];
  if (first === undefined) return wrong("", "has no rows under its header");
  const lacking = lackingColumns(Object.keys(first.fields));
  if (lacking !== null) return wrong("line 1", lacking);

  const rows: MeterRow[] = [];
  const rejected: Reject[] = [];
  let step = Number.POSITIVE_INFINITY;
  for (const row of log.value) {
    const read = rowSchema.safeParse(cellsOf(row));
    const blank = read.success ? blankReason(read.data) : null;
    if (read.success && blank === null) {
      const { data } = read;
      step = Math.min(step, data.volts.step);
      rows.push(toRow(data, row.line));
    } else {
      const reason = blank ?? read.error?.issues.map(({ message }) => message).join("; ") ?? "";
      const { line, text: own, fields } = row;
      rejected.push({ file, line, kind: "meter", reason, text: own, fields });
    }
  }
  return ok({ rows, step: volts(Number.isFinite(step) ? step : 0), rejected });
}

type RowData = z.infer<typeof rowSchema>;

const toRow = (data: RowData, line: number): MeterRow => ({
  ohms: data.ohms === null ? null : ohms(data.ohms),
  point: data.point || `${data.ohms} ohm`,
  by: data.by || null,
  volts: volts(data.volts.volts),
  line,
});

const blankReason = (data: RowData): string | null =>
  data.ohms === null && data.point === "" ? "neither ohms nor point is filled in" : null;

/** The row's cells under the column's own names. */
function cellsOf({ cells }: LogRow): Record<keyof typeof headings, string> {
  const under = (names: readonly string[]): string =>
    names.map((name) => cells[name] ?? "").find((cell) => cell !== "") ?? "";
  return {
    volts: under(headings.volts),
    ohms: under(headings.ohms),
    point: under(headings.point),
    by: under(headings.by),
  };
}

function lackingColumns(found: readonly string[]): string | null {
  const plain = found.map((name) =>
    name
      .trim()
      .toLowerCase()
      .replaceAll(/[\s-]+/g, "_"),
  );
  const has = (names: readonly string[]) => names.some((name) => plain.includes(name));
  const shown = `(found ${found.map((name) => `'${name.slice(0, 40)}'`).join(", ")})`;
  if (!has(headings.volts)) return `has no column volts ${shown}`;
  if (has(headings.ohms) || (has(headings.point) && has(headings.by))) return null;
  return `needs a column ohms (known series resistors), or point and by (who read which point) ${shown}`;
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
  const shown = text.slice(0, 40);
  if (text === "") return "volts is empty";
  if (value === 0) {
    return "volts is 0: the path was open or the meter off, which says nothing about the meter";
  }
  if (value !== null && value < 0) return `volts is '${shown}': negative; were the leads swapped?`;
  if (value !== null) return `volts is '${shown}': over ${mostVolts} V, no 5 V path`;
  const meant = meantVolts(text, mostVolts);
  return `volts is '${shown}': not a number${meant === null ? "" : `; did you mean ${meant}?`}`;
}
