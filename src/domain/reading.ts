import type { CircuitName } from "./place.ts";
import type { Volts } from "./units.ts";

/** A moment as it was written down. */
export interface Moment {
  /** The text as found, ISO 8601. */
  readonly text: string;
  /** The calendar day, `YYYY-MM-DD`, as written. */
  readonly day: string;
  /**
   * Seconds since 1970-01-01T00:00, offset applied where one was written; null for a bare day [s
   * since 1970].
   */
  readonly seconds: number | null;
}

/** How the reading was taken: switch open, held closed, or while the cord was moved. */
export type ReadingState = "rest" | "pressed" | "moved";

/** A pressed reading tells of the switch; all others of the path to an open one. */
export const isResting = ({ state }: Pick<Reading, "state">): boolean => state !== "pressed";

/** One value that a meter showed at one point of one circuit. */
export interface Reading extends CircuitName {
  readonly point: string;
  readonly volts: Volts;
  /** Finest step that this value was written with [V]: 4.91 gives 0.01. */
  readonly step: Volts;
  readonly takenAt: Moment | null;
  /**
   * The walk it belongs to: the sheet's own id, else the calendar day, else the file's name; a day
   * with times is made walks of by `withWalkNames`.
   */
  readonly walk: string;
  /** Name of one of the pool's meters. */
  readonly meter: string;
  /** The meter was switched on just before this reading. */
  readonly meterOn: boolean;
  /** "moved": at rest, the plug or its cord being moved meanwhile. */
  readonly state: ReadingState;
  /** The sheet's own name for it; null where it has none. */
  readonly id: string | null;
  readonly by: string | null;
  readonly note: string | null;
  /** Line of the file where it stands, the header being line 1. */
  readonly line: number;
}

/** When a walk began, as far as its readings say. */
export interface WalkStart {
  /** Its earliest calendar day, `YYYY-MM-DD`. */
  readonly day: string | null;
  /**
   * Seconds since 1970-01-01T00:00 of its earliest moment that has a time of day [s since 1970].
   */
  readonly seconds: number | null;
}

/** A walk of no dated reading. */
export const undated: WalkStart = { day: null, seconds: null };

/** A walk's start, one more reading counted in. */
export function startWith(start: WalkStart, moment: Moment | null): WalkStart {
  if (moment === null) return start;
  const day = start.day !== null && start.day <= moment.day ? start.day : moment.day;
  const later = start.seconds !== null && start.seconds <= (moment.seconds ?? start.seconds);
  const seconds = later ? start.seconds : moment.seconds;
  return day === start.day && seconds === start.seconds ? start : { day, seconds };
}

/** One walk's readings, made when they are asked for: not all walks need stand in memory at once. */
export interface WalkReadings {
  readonly walk: string;
  readonly start: WalkStart;
  /** It has a reading at rest. */
  readonly rests: boolean;
  readonly readings: () => readonly Reading[];
}

/** A row that could not be used, with all that is needed to mend it. */
export interface Reject {
  /** File it came from, as the user named it. */
  readonly file: string;
  readonly line: number;
  /** What is wrong, for the program. */
  readonly kind: string;
  /** What is wrong, for a person: "volts is '4,9l': not a number; did you mean 4.91?" */
  readonly reason: string;
  /** The row's own text, untouched. */
  readonly text: string;
  /** The row's fields as they stood, under the sheet's own column names. */
  readonly fields: Readonly<Record<string, string>>;
}
