import type { WorkAction } from "../domain/work.ts";
import type { ConnectorPlace } from "./memo-options.ts";

/** The four courses that a suspect connector may take. */
export type CourseKind = "leave" | "clean" | "replace-now" | "replace-at-age";

/** What one course is expected to cost over the horizon. */
export interface Course {
  readonly kind: CourseKind;
  /** Weeks between cleanings where the course cleans, else null [weeks]. */
  readonly everyWeeks: number | null;
  /** It replaces the connector where its path still reads too low after a cleaning. */
  readonly replaceIfLow: boolean;
  /** The last point's reading, after a cleaning, under which it does; null: it does not [V]. */
  readonly replaceUnderVolts: number | null;
  /** Weeks until its planned replacement: 0 is now, null where none is planned. */
  readonly replaceInWeeks: number | null;
  /** Expected present cost over the horizon, at the prices reckoned with [currency]. */
  readonly presentCost: number;
  /** Equivalent annual cost [currency per year]. */
  readonly annualCost: number;
  /**
   * P(this course, its plan as it is, is the cheapest), over the contact's state, growth, the chance
   * of a cure, and the ranges of labour, meets, lost lane and loss chance. The four sum to 1.
   */
  readonly chanceBest: number;
  /** P(the lane is lost in a meet before the next check) once its first step is done. */
  readonly failsBeforeNextCheck: number;
}

/**
 * The reading after a cleaning under which replacing is cheaper than going on with the cleaning
 * course. That course, as weighed, replaces just there.
 */
export type BreakEvenReading =
  | { readonly kind: "reading"; readonly volts: number; readonly contactOhms: number }
  /** However low it still reads, going on costs no more. */
  | { readonly kind: "never-replace" }
  /** Wherever the cleaning failed, replacing costs no more, however well it reads. */
  | { readonly kind: "always-replace" };

/** What is best for one suspect, and how sure that is. */
export interface Decision {
  readonly place: ConnectorPlace;
  /** P(at fault) as the diagnosis has it. */
  readonly atFault: number;
  /** P(its worst contact passes nothing), as the diagnosis has it. */
  readonly open: number;
  /** P(the trouble is film, which cleaning cures), from the record of cleanings. */
  readonly film: number;
  /** Weeks that its past cleanings held, those that had something to cure, oldest first. */
  readonly weeksHeld: readonly { readonly weeks: number; readonly atLeast: boolean }[];
  /** All four, in the order of CourseKind. */
  readonly courses: readonly Course[];
  readonly preferred: CourseKind;
  /** P(the preferred course is the cheapest). */
  readonly chanceBest: number;
  readonly cleanMinutes: number;
  readonly replaceMinutes: number;
  /** Price of cleaning once and of replacing once, labour and part [currency]. */
  readonly cleanCost: number;
  readonly replaceCost: number;
  readonly breakEvenReading: BreakEvenReading;
  /**
   * Whole weeks that a cleaning must hold for the cleaning course to cost no more than replacing
   * now: the shortest interval at which it would not, did no path read low in between. A preferred
   * cleaning course leaves at least this. Null: no time is enough.
   */
  readonly breakEvenWeeks: number | null;
  /** Best age for the connector's replacement in the long run; null: run until breakdown [years]. */
  readonly bestAgeYears: number | null;
  /** It was cleaned and its path still reads low: common practice takes that for oxidised metal. */
  readonly stillLowAfterCleaning: boolean;
}

/** A suspect that was worked on after its walk: no course is weighed on the old reading. */
export interface ReadAgain {
  readonly place: ConnectorPlace;
  /** P(at fault) as the diagnosis has it, before the work. */
  readonly atFault: number;
  /** The last work on it. */
  readonly action: WorkAction;
  /** Its day, as `2026-03-08`. */
  readonly date: string;
}
