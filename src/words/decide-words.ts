import type { WorkAction } from "../domain/work.ts";
import type { NamedPlace } from "./place-words.ts";

/** What may be done with a connector. */
export type CourseName = "look" | "wait" | "read-again" | "clean" | "replace";

/** What a decision's words are about, as the policy decided it. */
export interface ToldDecision {
  readonly place: NamedPlace;
  readonly action: CourseName;
  /** What is best where a look has mended nothing. */
  readonly ifNoBreak: CourseName | null;
  /** P(the action, or what follows a look in vain, is the cheapest). */
  readonly sure: number;
  /** P(the trouble comes off with cleaning). */
  readonly film: number;
  readonly weeksHeld: readonly { readonly weeks: number; readonly atLeast: boolean }[];
  readonly thresholds: {
    readonly first: "clean" | "replace";
    /** [V] */
    readonly cleanUnder: number | null;
    /** [V] */
    readonly replaceUnder: number | null;
    /** After so many failed cleanings. */
    readonly replaceAfter: number | null;
  };
  /** The last point that the thresholds are about. */
  readonly lastPoint: string;
  /** [min] */
  readonly lookMinutes: number;
  readonly cleanMinutes: number;
  readonly replaceMinutes: number;
  /** [currency] */
  readonly lookCost: number;
  readonly cleanCost: number;
  readonly replaceCost: number;
  readonly stillLowAfterCleaning: boolean;
}

/** Clean, replace or leave. */
export interface DecideWords {
  readonly head: (pool: string, walk: string) => string;
  readonly nothing: string;
  /** Why a walk says nothing of any path: so many of its readings are doubted. */
  readonly unjudged: (doubted: number, of: number) => string;
  /** The load that costs are reckoned with where nobody knows it [Ω]. */
  readonly assumedLoad: (ohms: number) => string;
  /** The suspect, how likely it is at fault and how likely the trouble comes off. */
  readonly suspect: (place: NamedPlace, atFault: number, film: number) => string;
  readonly courses: Readonly<Record<CourseName, string>>;
  /** One decision as instructions. */
  readonly act: (decision: ToldDecision, currency: string) => string;
  /** What an open contact may be, before any money is spent on it. */
  readonly aBreak: string;
  /** The rule that a person can pin to the wall. */
  readonly rule: (decision: ToldDecision) => string;
  /** Why a cleaning is no longer thought to help. */
  readonly metal: string;
  /** How sure; of a look, of what follows one in vain. */
  readonly sure: (decision: ToldDecision) => string;
  /** Which other courses cost nearly the same: how sure counts little then. */
  readonly nearly: (courses: readonly CourseName[]) => string;
  readonly howSure: (sure: string) => string;
  /** Heads of the courses' table; the second and third may have line breaks. */
  readonly heads: (currency: string) => readonly [string, string, string];
  readonly workedOnSince: string;
  /** Why nothing is weighed: it was worked on after the latest walk. */
  readonly readAgain: (place: NamedPlace, action: WorkAction, date: string) => string;
}
