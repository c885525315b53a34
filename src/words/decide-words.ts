import type { Action } from "../domain/courses.ts";
import type { Decision } from "../domain/decision.ts";
import type { WorkAction } from "../domain/work.ts";
import type { NamedPlace } from "./place-words.ts";

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
  readonly courses: Readonly<Record<Action, string>>;
  /** One decision as instructions. */
  readonly act: (decision: Decision, currency: string) => string;
  /** What an open contact may be, before any money is spent on it. */
  readonly aBreak: string;
  /** The rule that a person can pin to the wall. */
  readonly rule: (decision: Decision) => string;
  /** Why a cleaning is no longer thought to help. */
  readonly metal: string;
  /** How sure; of a look, of what follows one in vain. */
  readonly sure: (decision: Decision) => string;
  /** Which other courses cost nearly the same: how sure counts little then. */
  readonly nearly: (courses: readonly Action[]) => string;
  readonly howSure: (sure: string) => string;
  /** Heads of the courses' table; the second and third may have line breaks. */
  readonly heads: (currency: string) => readonly [string, string, string];
  readonly workedOnSince: string;
  /** Why nothing is weighed: it was worked on after the latest walk. */
  readonly readAgain: (place: NamedPlace, action: WorkAction, date: string) => string;
}
