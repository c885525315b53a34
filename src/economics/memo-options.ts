import type { ConnectorPlace } from "../domain/decision.ts";
import type { Comparison } from "./life-cycle.ts";

/** What one option costs in one year, by what it is spent on. Year 0 is now. */
export interface OptionYear {
  /** 0 is now; the last may be a part of a year [year; 0 or more]. */
  readonly year: number;
  /** New connectors bought and fitted by the option itself: parts and labour [currency]. */
  readonly replacing: number;
  /** Later replacements, after a failed cleaning or a breakdown: parts and labour [currency]. */
  readonly renewing: number;
  /** Labour of cleaning [currency]. */
  readonly cleaning: number;
  /** Expected cost of lanes lost in meets to the timing path [currency]. */
  readonly lostLanes: number;
  /** Sum of the four [currency]. */
  readonly total: number;
}

/** What the plan is compared with, and the plan itself. */
export type OptionKind =
  | "plan"
  | "present-practice"
  | "clean-then-replace"
  | "replace-worst"
  | "replace-class"
  | "phased";

/** One way to keep the pool's connectors. */
export interface MemoOption {
  /** Unique among the options: `plan`, `replace-worst`, `replace-class:plate`, `phased:plate`. */
  readonly id: string;
  readonly kind: OptionKind;
  /** "Follow the plan", "Replace the 3 worst connectors", "Replace every plate connector". */
  readonly label: string;
  /** What is replaced by the option itself, now or phase by phase. Worst first. */
  readonly replaced: readonly ConnectorPlace[];
  /** Money for those: parts and labour [currency]. */
  readonly request: number;
  /** From year 0 to the last year of the horizon. */
  readonly cashFlow: readonly OptionYear[];
  /** Present value of all of it [currency]. */
  readonly lifeCycleCost: number;
  /** The same per year of the horizon [currency per year]. */
  readonly annualCost: number;
  /** Against the plan; null for the plan itself. */
  readonly comparison: Comparison | null;
  /** P(net savings > 0) over all assumptions jointly; null for the plan itself. */
  readonly chanceSaves: number | null;
  /**
   * Lanes lost in meets to the timing path, a year: at first, and on average over the horizon
   * [lanes a year; 0 or more].
   */
  readonly lostLanes: { readonly firstYear: number; readonly onAverage: number };
}

/** How the options fare when one assumption moves to an end of its range. */
export interface SensitivityEnd {
  /** The assumption's value at this end [as the assumption; any]. */
  readonly value: number;
  /** Life-cycle cost of each option, in the order of `options` [currency]. */
  readonly lifeCycleCosts: readonly number[];
  /** Net savings of the best option beside the plan, against the plan [currency]. */
  readonly netSavings: number;
  /** Id of the option that costs least there. */
  readonly best: string;
}

/** One assumption moved alone over its stated range. */
export interface SensitivityRow {
  /** "labour", "price of a lost lane", ... */
  readonly assumption: string;
  /** "currency/h", "per year", ... or "times" where the range is a multiple of each value. */
  readonly unit: string;
  /** The assumption's value that all else is reckoned with [as the assumption; any]. */
  readonly base: number;
  readonly low: SensitivityEnd;
  readonly high: SensitivityEnd;
  /** The option that costs least changes at one end or the other. */
  readonly changesRanking: boolean;
}

/** Everything that a capital request says in numbers. */
export interface MemoOptions {
  /** ISO 4217 code; `XXX` prints no code. */
  readonly currency: string;
  /** Real, as a share [per year]. */
  readonly discountRate: number;
  readonly horizonYears: number;
  /** "end-of-year": flows of a year are discounted from its end, those of year 0 not at all. */
  readonly timing: "end-of-year";
  /** The plan first: what `decide` recommends, walk after walk. It is the base of every comparison. */
  readonly options: readonly MemoOption[];
  /** Id of the option that money is asked for; null: none beats the plan, and nothing is asked for. */
  readonly requested: string | null;
  /** Id of the option whose net savings the sensitivity follows: the best beside the plan. */
  readonly followed: string;
  /** Widest swing of net savings first. */
  readonly sensitivity: readonly SensitivityRow[];
}
