import type { Costs } from "../domain/costs.ts";
import type { Study } from "./life-cycle.ts";

/** The parts of a year that amounts are summed over. */
export const QUARTERS = 4;

/** Whole quarters of a horizon, one at least. */
export const quartersOf = ({ horizonYears }: Costs): number =>
  Math.max(1, Math.round(horizonYears.value * QUARTERS));

/** The period and rate that options are compared over. */
export const studyOf = (costs: Costs): Study => ({
  discountRate: costs.discountRate.value,
  years: quartersOf(costs) / QUARTERS,
  timing: "end-of-year",
});
