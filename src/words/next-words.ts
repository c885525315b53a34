import type { CircuitName } from "../domain/place.ts";
import type { NamedPlace } from "./place-words.ts";

/** Where a reading is taken. */
type PointOf = CircuitName & { readonly point: string };

/** How a reading is taken. */
export type ReadingAct = "read" | "move" | "unplug";

/** The next reading, and the walk that is guided from one to the next. */
export interface NextWords {
  /** Why there is nothing more to read. */
  readonly stops: Readonly<Record<"all-settled" | "nothing-worth-taking" | "out-of-reach", string>>;
  /** What to read next. */
  readonly next: (pool: string, place: PointOf, isMoved: boolean) => string;
  readonly acts: Readonly<Record<ReadingAct, string>>;
  /** Heads of the table: number, lane, device, point, how, seconds. */
  readonly heads: readonly [string, string, string, string, string, string];
  /** What to do to know whether a device conducts. */
  readonly unplug: (place: PointOf) => string;
  /** What a guided walk asks for: `12  Lane 3 touchpad, pod: `. */
  readonly ask: (number: number, place: PointOf, isMoved: boolean) => string;
  /** The likeliest suspect, where it is none yet and where it is one that drops so much [V]. */
  readonly noSuspect: (place: NamedPlace, atFault: number) => string;
  readonly suspect: (place: NamedPlace, atFault: number, drops: number) => string;
  /** What may be typed: three lines, each with a line end. */
  readonly help: string;
  readonly nothingRead: string;
  readonly written: (count: number, file: string) => string;
  /** A line of the sheet that was cut short. */
  readonly torn: (line: string) => string;
  readonly goingOn: (walk: string, count: number) => string;
  readonly meterOn: string;
  readonly nothingToUndo: string;
  readonly undone: (place: PointOf, volts: number) => string;
  readonly zero: string;
  /** Before why what was typed is no reading, which has English words alone; null: nothing. */
  readonly notTaken: string | null;
}
