import type { Lane } from "./place.ts";
import type { Moment } from "./reading.ts";

/** The facility's own degrees: never assumed, always said. */
export type DegreeUnit = "C" | "F";

/** One line of the log of water and pads. */
export interface PadNote {
  readonly takenAt: Moment;
  /** Water temperature as written [°C or °F as `unit` says; liquid]. */
  readonly water: number;
  /** The unit it was written in. */
  readonly unit: DegreeUnit;
  /**
   * Pump strokes found right on the pad that was adjusted; null where only water was measured
   * [strokes; 0 or more].
   */
  readonly strokes: number | null;
  /** The pad that was adjusted; null where none was, or nobody wrote which. */
  readonly lane: Lane | null;
  /** Minutes that this pad lay in the water before it was adjusted; null if not written. */
  readonly soakedMinutes: number | null;
  readonly by: string | null;
  readonly note: string | null;
  readonly line: number;
}
