import { z } from "zod";
import type { DegreeUnit, PadNote } from "../domain/pad.ts";
import type { Pool } from "../domain/pool.ts";
import type { Moment, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { fault, ok, type Result } from "../domain/result.ts";
import { decimal, type LogRow, logRows } from "./log-rows.ts";
import { momentFault, readMoment } from "./moment-text.ts";
import { poolNames } from "./pool-names.ts";

/** What a log of water and pads gave: every row is a note or a reject. */
export interface PadsSheet {
  readonly notes: readonly PadNote[];
  readonly rejected: readonly Reject[];
}

/** Water that people swim in, with room on both sides: what lies outside was mistyped. */
const waterRange = { C: [-2, 60], F: [28, 140] } as const;

const strokesSchema = z.coerce.number().int().min(0).max(500);

/**
 * Reads `pads.csv`: columns taken_at and water_c or water_f (the unit stands in the heading, so that
 * nobody can take one for the other); optional strokes, lane, soaked_minutes, by, note. A row may
 * give the water in both units if they agree within half a degree Fahrenheit. Nothing throws.
 */
export function readPads(text: string, pool: Pool, file: string): Result<PadsSheet, InputFault> {
  const optional = ["water_c", "water_f", "strokes", "lane", "soaked_minutes", "by", "note"];
  const rows = logRows(text, file, ["taken_at"], optional);
  if (!rows.ok) return fault(rows.error);
  const headings = Object.keys(rows.value[0]?.fields ?? {}).map((name) => name.toLowerCase());
  const hasWater = headings.some((name) => /^water[\s_-][cf]$/.test(name));
  if (rows.value.length > 0 && !hasWater)
    return fault({
      file,
      place: "line 1",
      message: "has no column water_c or water_f: the heading must say Celsius or Fahrenheit",
    });
  const notes: PadNote[] = [];
  const rejected: Reject[] = [];
  const names = poolNames(pool);
  for (const row of rows.value) {
    const faults: string[] = [];
    const note = noteOf(row, names, faults);
    if (note !== null && faults.length === 0) notes.push(note);
    else {
      const { line, text: own, fields } = row;
      rejected.push({ file, line, kind: "pad", reason: faults.join("; "), text: own, fields });
    }
  }
  return ok({ notes, rejected });
}

function noteOf(
  { cells, line }: LogRow,
  names: ReturnType<typeof poolNames>,
  faults: string[],
): PadNote | null {
  const cell = (name: string): string => cells[name] ?? "";
  const takenAt = momentOf(cell("taken_at"), faults);
  const water = waterOf(cell("water_c"), cell("water_f"), faults);
  const lane = cell("lane") === "" ? null : names.lane(cell("lane"));
  if (cell("lane") !== "" && lane === null) faults.push(names.unknown("lane", cell("lane")));
  const strokes = cell("strokes") === "" ? null : strokesSchema.safeParse(cell("strokes"));
  if (strokes !== null && !strokes.success)
    faults.push(`strokes is '${cell("strokes")}': a whole number from 0 to 500`);
  const soaked = cell("soaked_minutes") === "" ? null : decimal(cell("soaked_minutes"));
  if (cell("soaked_minutes") !== "" && (soaked === null || soaked < 0))
    faults.push(`soaked_minutes is '${cell("soaked_minutes")}': minutes, 0 or more`);
  if (takenAt === null || water === null) return null;
  return {
    takenAt,
    ...water,
    strokes: strokes?.success === true ? strokes.data : null,
    lane,
    soakedMinutes: soaked,
    by: cell("by") || null,
    note: cell("note") || null,
    line,
  };
}

function momentOf(text: string, faults: string[]): Moment | null {
  const moment = readMoment(text);
  if (moment === null) faults.push(`taken_at is '${text}': ${momentFault(text)}`);
  return moment;
}

function waterOf(
  celsius: string,
  fahrenheit: string,
  faults: string[],
): { water: number; unit: DegreeUnit } | null {
  const unit = celsius !== "" ? "C" : "F";
  const text = celsius !== "" ? celsius : fahrenheit;
  const water = decimal(text.replace(/\s*°?\s*[CF]$/i, ""));
  const [low, high] = waterRange[unit];
  if (water === null || water < low || water > high) {
    const column = `water_${unit.toLowerCase()}`;
    faults.push(`${column} is '${text}': degrees ${unit} from ${low} to ${high}`);
    return null;
  }
  const other = celsius !== "" && fahrenheit !== "" ? decimal(fahrenheit) : null;
  if (other !== null && Math.abs((water * 9) / 5 + 32 - other) > 0.5)
    faults.push(`water_c '${celsius}' and water_f '${fahrenheit}' are not the same temperature`);
  return { water, unit };
}
