import type { Node } from "../numerics/weighted-nodes.ts";
import type { Life } from "./age-replacement.ts";

/** Growths nearer than this in ln rate are taken together. */
const RATE_BIN = 0.7;

/** Under which growths of one kind are taken together. */
export const rateBin = ({ kind, rate }: Pick<GrowthMode, "kind" | "rate">): string =>
  `${kind} ${rate > 0 ? Math.round(Math.log(rate) / RATE_BIN) : "none"}`;

/**
 * What one contact of a class of connectors does by itself, what work does to it, and when its path
 * reads low: all that a policy for it needs to know, as plain numbers.
 *
 * A contact has a mode of growth, which a cleaning leaves and a replacement draws anew, and a kind:
 * film comes off with cleaning, oxide does not. Both have a level, ln ohms, that grows by the mode.
 * Besides, it may open, or come and go, or foul at a stroke.
 */
export interface ContactLaw {
  /** How a new contact grows; weights add to 1. */
  readonly modes: readonly GrowthMode[];
  /** P(oxide) of a new contact, and of one that fouled at a stroke. */
  readonly oxide: number;
  /** P(a cleaning cures | film). */
  readonly cure: number;
  /** Share of open contacts, and of those that come and go, that a cleaning mends; the rest are broken. */
  readonly mendable: number;
  /** Where a cure brings it, and where a new contact begins [ln Ω]. */
  readonly floor: readonly Node[];
  /** Where one stands that fouled at a stroke [ln Ω]. */
  readonly fouled: readonly Node[];
  readonly rates: FaultRates;
  readonly steps: Steps;
  /** The path reads low where the contact is over this; the scatter from meet to meet [ln Ω]. */
  readonly limit: { readonly logOhms: number; readonly scatter: number };
  /** Until the connector's body breaks for good [weeks]. */
  readonly life: Life;
}

/** Growth of a contact's resistance: none, by a share of it a week, or by so many ohms a week. */
export interface GrowthMode {
  readonly kind: "flat" | "log" | "ohm";
  /** [ln Ω per week], or [Ω per week] where the kind is ohm; 0 where flat. */
  readonly rate: number;
  readonly weight: number;
}

/** Chances that befall a contact, each a week. */
export interface FaultRates {
  /** Fouls at a stroke. */
  readonly fouled: number;
  readonly open: number;
  readonly intermittent: number;
  /** An open or intermittent contact mends by itself. */
  readonly mends: number;
}

/** Storms: rises of the level that come at once. */
export interface Steps {
  /** Storms that touch this contact, a week. */
  readonly perWeek: number;
  /** [ln Ω] */
  readonly rises: readonly Node[];
}

/** A level after so many weeks of growth [ln Ω]. */
export function grownLevel({ kind, rate }: GrowthMode, level: number, weeks: number): number {
  if (kind === "flat") return level;
  if (kind === "log") return level + rate * weeks;
  return Math.log(Math.exp(level) + rate * weeks);
}

/** What the steps of a policy cost for one contact's connector. */
export interface StepPrices {
  /** One cleaning [currency]. */
  readonly clean: number;
  /** One replacement, part and labour [currency]. */
  readonly replace: number;
  /** Expected loss while the path reads low [currency per week]. */
  readonly lowWeek: number;
  /** The same while the contact is open [currency per week]. */
  readonly openWeek: number;
  /** The same while it comes and goes [currency per week]. */
  readonly intermittentWeek: number;
}
