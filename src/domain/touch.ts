import type { CircuitName } from "./place.ts";
import type { Moment } from "./reading.ts";

/**
 * How a pad or button was pressed. Common practice: a fingertip's push should register, and a
 * medium push with the open hand (or a wave) should not.
 */
export type TouchKind = "fingertip" | "open-hand";

/** Where on the device, seen by who stands on the deck and looks at it. */
export const touchPlaces = ["left", "middle", "right", "high", "low"] as const;
/** One of them. */
export type TouchPlace = (typeof touchPlaces)[number];

/** One person's presses on one device, counted. */
export interface TouchCheck extends CircuitName {
  readonly kind: TouchKind;
  /** Presses made; a whole number, at least 1 [presses; whole, 1 or more]. */
  readonly tried: number;
  /** How many of them the timer took as a touch; 0 to `tried` [presses; whole, 0 to `tried`]. */
  readonly registered: number;
  /** Null: all over it, or not written. */
  readonly place: TouchPlace | null;
  /** Which heat or check of the day, in the facility's own words; null: not written. */
  readonly heat: string | null;
  readonly takenAt: Moment | null;
  readonly by: string | null;
  readonly line: number;
}
