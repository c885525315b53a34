import type { Comparison } from "../economics/life-cycle.ts";
import type { ConnectorPlace } from "../policy/decision.ts";

/** What one option costs in one year, by what it is spent on. Year 0 is now. */
export interface OptionYear {
  /** 0 is now; the last may be a part of a year. */
  readonly year: number;
  /** New connectors bought and fitted by the option itself: parts and labour [currency]. */
  readonly replacing: number;
  /** Later replacements, planned or after a breakdown: parts and labour [currency]. */
  readonly renewing: number;
  /** Labour of cleaning [currency]. */
  readonly cleaning: number;
  /** Expected cost of lanes lost in meets [currency]. */
  readonly lostLanes: number;
  /** Sum of the four [currency]. */
  readonly total: number;
}

export type OptionKind = "keep-cleaning" | "replace-worst" | "replace-class";

/** One way to spend money on the pool's connectors. */
export interface MemoOption {
  /** Unique among the options: `keep-cleaning`, `replace-worst`, `replace-class:plate`. */
  readonly id: string;
  readonly kind: OptionKind;
  /** "Keep cleaning", "Replace the 3 worst connectors", "Replace every plate connector". */
  readonly label: string;
  /** What is replaced now; empty for keep cleaning. Worst first. */
  readonly replaced: readonly ConnectorPlace[];
  /** Money asked for now: parts and labour of the replacements [currency]. */
  readonly request: number;
  /** From year 0 to the last year of the horizon. */
  readonly cashFlow: readonly OptionYear[];
  /** Present value of all of it [currency]. */
  readonly lifeCycleCost: number;
  /** The same per year of the horizon [currency per year]. */
  readonly annualCost: number;
  /** Against keep cleaning; null for keep cleaning itself. */
  readonly comparison: Comparison | null;
  /** Expected lanes whose worst path stays over the limit, average over the horizon. */
  readonly lanesKept: number;
}

/** How an option fares when one assumption moves to an end of its range. */
export interface SensitivityEnd {
  /** The assumption's value at this end. */
  readonly value: number;
  /** Life-cycle cost of each option, in the order of `options` [currency]. */
  readonly lifeCycleCosts: readonly number[];
  /**
   * Net savings, against keep cleaning, of the option that the base case prefers; of replacing the
   * worst where that is keep cleaning itself [currency].
   */
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
  readonly base: number;
  readonly low: SensitivityEnd;
  readonly high: SensitivityEnd;
  /** The option that costs least changes at one end or the other. */
  readonly changesRanking: boolean;
}

/** What the next replacement buys, cumulative, cheapest gain first. */
export interface BudgetStep {
  /** Money spent so far, this replacement included [currency]. */
  readonly spent: number;
  /** What was replaced in this step; null for the first step, nothing spent. */
  readonly replaced: ConnectorPlace | null;
  /** Expected lanes over the limit after it, average over the horizon. */
  readonly lanesKept: number;
  /** Life-cycle cost of the pool after it [currency]. */
  readonly lifeCycleCost: number;
}

/** Everything that a capital request says in numbers. */
export interface MemoOptions {
  /** ISO 4217 code; `XXX` prints no code. */
  readonly currency: string;
  readonly discountRate: number;
  readonly horizonYears: number;
  /** "end-of-year": flows of a year are discounted from its end, those of year 0 not at all. */
  readonly timing: "end-of-year";
  /** Lanes of the pool. */
  readonly lanes: number;
  /** Keep cleaning first, then replace the worst, then each class. */
  readonly options: readonly MemoOption[];
  /** Id of the option that costs least over the horizon. */
  readonly preferred: string;
  /** Widest swing of net savings first. */
  readonly sensitivity: readonly SensitivityRow[];
  readonly budget: readonly BudgetStep[];
}
