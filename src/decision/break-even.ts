import { bisect } from "simple-statistics";
import { cleaningPlans, leavePlan } from "./best-plan.ts";
import { curedValues, planCost, uncuredBlocks } from "./clean-course.ts";
import { readingAt } from "./connector-case.ts";
import type { BreakEvenReading } from "./decision.ts";
import { fewIntervals } from "./fresh-connector.ts";
import { COARSE, cureNodes, growthNodes, type Laid, uncuredAt } from "./keeping.ts";
import { WEEKS_PER_YEAR } from "./week-grid.ts";

/** Resistances between which the break-even is looked for, as a multiple of a new contact. */
const HIGHEST_OHMS = 1e6;

/**
 * Expected cost of keeping a contact that was just cleaned and is at a level all the same: the
 * cheapest of leaving it and of a few cleaning plans, its record one failed cleaning the poorer.
 */
function keepingCost(laid: Laid): (level: number) => number {
  const growths = growthNodes(laid, COARSE.growth);
  const cures = cureNodes(laid, COARSE.cure, 1);
  const plans = cleaningPlans(laid).filter(
    ({ everyWeeks, endWeek }) => everyWeeks === endWeek || fewIntervals.includes(everyWeeks),
  );
  const prepared = [leavePlan(laid), ...plans].map((plan) => ({
    plan,
    cured: growths.map((growth) => curedValues(laid, plan, growth.table, cures)),
  }));
  return (level) => {
    const lines = growths.map((growth) => uncuredAt(laid, level, growth.value));
    const costs = prepared.map(({ plan, cured }) => {
      let total = 0;
      for (const [g, line] of lines.entries()) {
        const losses = uncuredBlocks(laid, plan, line);
        for (const [c, cure] of cures.entries()) {
          const weight = (growths[g]?.weight ?? 0) * cure.weight;
          const values = cured[g]?.[c] ?? new Float64Array(0);
          total += weight * planCost(laid, plan, line, losses, values, cure.value, false);
        }
      }
      return total;
    });
    return Math.min(...costs);
  };
}

/** The last point's reading, after a cleaning, under which replacing now is cheaper than keeping. */
export function breakEvenReading(laid: Laid): BreakEvenReading {
  const keeping = keepingCost(laid);
  const replacing = laid.replaceAt[0] as number;
  const excess = (level: number): number => keeping(level) - replacing;
  const lowest = Math.log(laid.subject.newOhms);
  const highest = Math.log(HIGHEST_OHMS);
  if (excess(lowest) >= 0) return { kind: "always-replace" };
  if (excess(highest) <= 0) return { kind: "never-replace" };
  const contactOhms = Math.exp(bisect(excess, lowest, highest, 60, 1e-3));
  return { kind: "reading", contactOhms, volts: readingAt(laid.subject.path, contactOhms) };
}

/**
 * Weeks that a cleaning must hold, nothing lost in between, for cleaning each time that it gives
 * out to cost no more over the horizon than replacing now. With the weekly discount `d` and horizon
 * `n`: `clean (1 - d^n) / (1 - d^H) = replacing - breakdowns`, solved for `H`. Null: no time is
 * enough.
 */
export function breakEvenWeeks(laid: Laid): number | null {
  const { clean } = laid.prices;
  const budget = (laid.replaceAt[0] as number) - (laid.brokenBy[laid.grid.weeks] as number);
  if (clean === 0) return 0;
  if (budget <= clean) return null;
  const rate = Math.log1p(laid.grid.study.discountRate) / WEEKS_PER_YEAR;
  const weeks =
    rate === 0
      ? (laid.grid.weeks * clean) / budget
      : -Math.log1p((clean / budget) * Math.expm1(-rate * laid.grid.weeks)) / rate;
  return weeks;
}
