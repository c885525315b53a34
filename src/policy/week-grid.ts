import { presentWorth } from "../numerics/interest.ts";

/**
 * The weeks of a planning horizon, with what money in each of them is worth now.
 *
 * A year is 52 weeks. Work done at the start of week 0 is paid now; everything else is paid, and
 * every loss is counted, at the end of the year that its week belongs to (the convention of NIST
 * Handbook 135, so that a decision and the memo's cash flow agree to the last figure).
 */
export interface WeekGrid {
  readonly study: {
    /** Real discount rate [per year]. */
    readonly discountRate: number;
    /** Length of the horizon [years]. */
    readonly years: number;
    readonly timing: "end-of-year";
  };
  /** Weeks of the horizon, at least 1. */
  readonly weeks: number;
  /** Present worth of 1 in week w. */
  readonly discount: Float64Array;
  /** Present worth of 1 paid for work at the start of week w. */
  readonly workDiscount: Float64Array;
}

export const WEEKS_PER_YEAR = 52;

/** Year of the cash flow that week w belongs to, the first being 1. */
export const flowYear = (week: number): number => Math.floor(week / WEEKS_PER_YEAR) + 1;

/** Grid of a horizon in years, cut to whole weeks. */
export function weekGrid(horizonYears: number, discountRate: number): WeekGrid {
  const weeks = Math.max(1, Math.round(horizonYears * WEEKS_PER_YEAR));
  const years = weeks / WEEKS_PER_YEAR;
  const discount = Float64Array.from({ length: weeks + 1 }, (_, week) =>
    presentWorth(discountRate, Math.min(flowYear(week), years)),
  );
  const workDiscount = discount.slice();
  workDiscount[0] = 1;
  return { study: { discountRate, years, timing: "end-of-year" }, weeks, discount, workDiscount };
}
