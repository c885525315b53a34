import type { MeetSettings } from "../domain/meet.ts";
import type { DegreeUnit, PadNote } from "../domain/pad.ts";
import type { Lane } from "../domain/place.ts";
import { celsiusOf, fahrenheitOf, pascalsAtTemperature, strokesForTemperature } from "./gas-law.ts";
import { geopotentialMetres, standardPascals } from "./standard-atmosphere.ts";

/** What the log of water and pump strokes says about today. */
export interface PadsDue {
  readonly state: "due" | "fine" | "unknown degrees" | "never adjusted" | "no log";
  /** The unit of every number of degrees here. */
  readonly unit: DegreeUnit;
  /**
   * Null where the pool file does not say how much of a change matters [°C or °F as `unit` says;
   * over 0].
   */
  readonly readjustDegrees: number | null;
  /** Null where the pool file does not say how long a pad has to soak. */
  readonly soakMinutes: number | null;
  /** The newest water temperature, and when [°C or °F as `unit` says; liquid]. */
  readonly water: number | null;
  readonly waterAt: string | null;
  /** The water on the day of the last adjustment, and when [°C or °F as `unit` says; liquid]. */
  readonly adjustedWater: number | null;
  readonly adjustedAt: string | null;
  /** Newest water less the water at the adjustment [°C or °F as `unit` says; any]. */
  readonly change: number | null;
  /** Strokes found on one pad: the strokes for all pads, spares included [strokes; 0 or more]. */
  readonly strokes: number | null;
  readonly strokesFrom: Lane | null;
  /** Adjustments that don't count, and why. */
  readonly doubts: readonly PadDoubt[];
  /** What the change does to air sealed in a pad, at this height. */
  readonly air: AirChange | null;
}

/** A line of the log to look at again. */
export interface PadDoubt {
  readonly line: number;
  readonly kind: "not soaked" | "soak unknown" | "strokes differ";
  readonly lane: Lane | null;
  readonly found: number | null;
}

/** Gas law, at constant volume: absolute pressure follows absolute temperature. */
export interface AirChange {
  /** Standard air pressure at the facility's height [Pa]. */
  readonly outsidePascals: number;
  /** Change of the sealed air's pressure, per unit of itself. */
  readonly relative: number;
  readonly pascals: number;
  /** Strokes of the pump that would undo it; null where nobody knows pad and pump. */
  readonly strokes: number | null;
}

/**
 * Whether the pads are due: the water moved by the facility's degrees since the last adjustment
 * that was made after a full soak.
 */
export function padsDue(
  notes: readonly PadNote[],
  pads: MeetSettings["pads"],
  until: string | null = null,
): PadsDue {
  const inOrder = notes.filter((note) => until === null || note.takenAt.day <= until).sort(byTime);
  const adjusted = inOrder.filter((note) => note.strokes !== null);
  const soak = pads.soakMinutes ?? 0;
  const counted = adjusted.filter((note) => (note.soakedMinutes ?? soak) >= soak);
  const last = counted.at(-1);
  const newest = inOrder.at(-1);
  const water = newest === undefined ? null : degrees(newest, pads.unit);
  const adjustedWater = last === undefined ? null : degrees(last, pads.unit);
  const change = water === null || adjustedWater === null ? null : tidy(water - adjustedWater);
  return {
    state: newest === undefined ? "no log" : stateOf(change, pads.readjustDegrees),
    unit: pads.unit,
    readjustDegrees: pads.readjustDegrees,
    soakMinutes: pads.soakMinutes,
    water,
    waterAt: newest?.takenAt.text ?? null,
    adjustedWater,
    adjustedAt: last?.takenAt.text ?? null,
    change,
    strokes: last?.strokes ?? null,
    strokesFrom: last?.lane ?? null,
    doubts: doubtsOf(adjusted, last, pads),
    air:
      newest === undefined || last === undefined
        ? null
        : airChange(celsius(last), celsius(newest), pads),
  };
}

/** The same water is fine whatever the degrees that matter. */
function stateOf(change: number | null, readjustDegrees: number | null): PadsDue["state"] {
  if (change === null) return "never adjusted";
  if (change === 0) return "fine";
  if (readjustDegrees === null) return "unknown degrees";
  return Math.abs(change) >= readjustDegrees ? "due" : "fine";
}

/** Sealed at `from` °C at this height, then brought to `to` °C in the same volume. */
export function airChange(
  from: number,
  to: number,
  { altitudeMetres, pump }: Pick<MeetSettings["pads"], "altitudeMetres" | "pump">,
): AirChange {
  const outsidePascals = standardPascals(geopotentialMetres(altitudeMetres));
  const pascals = pascalsAtTemperature(outsidePascals, from, to) - outsidePascals;
  const strokes =
    pump === null ? null : strokesForTemperature(pump.padLitres, pump.strokeLitres, from, to);
  return { outsidePascals, pascals, relative: pascals / outsidePascals, strokes };
}

function doubtsOf(
  adjusted: readonly PadNote[],
  last: PadNote | undefined,
  pads: MeetSettings["pads"],
): PadDoubt[] {
  return adjusted.flatMap((note): PadDoubt[] => {
    const { line, lane } = note;
    const doubts: PadDoubt[] = [];
    const soak = pads.soakMinutes;
    if (soak !== null && note.soakedMinutes === null)
      doubts.push({ line, lane, kind: "soak unknown", found: null });
    else if (soak !== null && note.soakedMinutes !== null && note.soakedMinutes < soak)
      doubts.push({ line, lane, kind: "not soaked", found: note.soakedMinutes });
    // The strokes of one adjustment are for every pad: another count the same day is a slip.
    if (
      last !== undefined &&
      note.takenAt.day === last.takenAt.day &&
      note.strokes !== last.strokes
    )
      doubts.push({ line, lane, kind: "strokes differ", found: note.strokes });
    return doubts;
  });
}

const celsius = (note: PadNote): number => celsiusOf(note.water, note.unit);

const degrees = (note: PadNote, unit: DegreeUnit): number =>
  note.unit === unit ? note.water : tidy(unit === "C" ? celsius(note) : fahrenheitOf(note.water));

/** Takes away what binary fractions add, so that 27.3 - 24.3 is 3 and not a hair less. */
const tidy = (value: number): number => Math.round(value * 1e6) / 1e6;

const byTime = (a: PadNote, b: PadNote): number =>
  a.takenAt.day < b.takenAt.day
    ? -1
    : a.takenAt.day > b.takenAt.day
      ? 1
      : (a.takenAt.seconds ?? 0) - (b.takenAt.seconds ?? 0) || a.line - b.line;
