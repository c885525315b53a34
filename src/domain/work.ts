import type { Place } from "./place.ts";
import type { Moment } from "./reading.ts";

/** What was done to a connector. */
export type WorkAction = "cleaned" | "replaced" | "reseated";

/** A piece of work that is proposed to someone: its cautions go by it. */
export type WorkStep =
  | "measure"
  | "look"
  | "clean"
  | "replace"
  | "lift-pads"
  | "seal"
  | "over-water"
  | "deck";

/** One line of the work log. */
export interface WorkEntry extends Place {
  readonly doneAt: Moment;
  readonly action: WorkAction;
  readonly minutes: number | null;
  /** What it cost; null if not written [currency]. */
  readonly cost: number | null;
  readonly by: string | null;
  readonly note: string | null;
  readonly line: number;
}
