import type { Action } from "../domain/courses.ts";
import { NO_CURRENCY } from "../domain/currency.ts";
import type { Decision } from "../domain/decision.ts";
import type { WorkAction } from "../domain/work.ts";
import type { FigureWords } from "./figure-words.ts";
import type { NamedPlace } from "./place-words.ts";

/** Clean, replace or leave. */
export interface DecideWords {
  readonly head: (pool: string, walk: string) => string;
  readonly nothing: string;
  /** Why a walk says nothing of any path: so many of its readings are doubted. */
  readonly unjudged: (doubted: number, of: number) => string;
  /** The load that costs are reckoned with where nobody knows it [Ω]. */
  readonly assumedLoad: (ohms: number) => string;
  /** The suspect, how likely it is at fault and how likely the trouble comes off; null: nothing conducts. */
  readonly suspect: (place: NamedPlace, atFault: number, film: number | null) => string;
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

/** Weeks that a cleaning held. */
export type Held = Decision["weeksHeld"][number];

/** What a record of cleanings comes to: how many held not at all, else how the last ones did. */
export type HeldTold =
  | { readonly kind: "nothing" }
  | { readonly kind: "failed"; readonly failed: number; readonly of: number }
  /** The last two where there are two. */
  | { readonly kind: "none-held"; readonly last: 1 | 2 }
  | { readonly kind: "one"; readonly held: Held }
  /** `alike`: one word for weeks does for both. */
  | { readonly kind: "two"; readonly held: readonly [Held, Held]; readonly alike: boolean };

/** What to tell of the weeks that past cleanings held. */
export function heldTold(held: readonly Held[]): HeldTold {
  const isNone = ({ weeks }: Held): boolean => Math.round(weeks) === 0;
  const failed = held.filter((one) => isNone(one) && !one.atLeast).length;
  if (failed > 0) return { kind: "failed", failed, of: held.length };
  const [one, other] = held.filter((each) => !each.atLeast || !isNone(each)).slice(-2);
  if (one === undefined) return { kind: "nothing" };
  if (isNone(one) && (other === undefined || isNone(other)))
    return { kind: "none-held", last: other === undefined ? 1 : 2 };
  if (other === undefined) return { kind: "one", held: one };
  const alike = one.atLeast === other.atLeast && Math.round(other.weeks) !== 1;
  return { kind: "two", held: [one, other], alike };
}

/** What a rule comes to: when to clean, when then to replace, by volts or after so many failures. */
export type RuleTold =
  | { readonly kind: "never" }
  | { readonly kind: "replace"; readonly under: number }
  | {
      readonly kind: "clean";
      readonly under: number;
      readonly stillUnder: number | null;
      readonly after: number | null;
    };

/** What to tell of a decision's thresholds. */
export function ruleTold({ thresholds }: Decision): RuleTold {
  const { first, cleanUnder: under, replaceUnder: stillUnder, replaceAfter } = thresholds;
  if (under === null) return { kind: "never" };
  if (first === "replace") return { kind: "replace", under };
  // Still low after one cleaning is the first failure.
  const after = stillUnder !== null && replaceAfter === 1 ? null : replaceAfter;
  return { kind: "clean", under, stillUnder, after };
}

/** Price of a step in brackets with its minutes: `(12 min, EUR 8)`, `(12 min, cost 8)`. */
export const priceTold = (
  minutes: number,
  cost: number,
  currency: string,
  word: string,
  { money }: FigureWords,
): string =>
  `(${Math.round(minutes)} min, ${currency === NO_CURRENCY ? `${word} ` : ""}${money(cost, currency)})`;
