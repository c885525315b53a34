import { type CleanPlan, curedValues, planCost, uncuredBlocks } from "./clean-course.ts";
import { cleaningIntervals } from "./fresh-connector.ts";
import { COARSE, cureNodes, growthNodes, type Laid, levelNodes, uncuredAt } from "./keeping.ts";

/** Weeks until a planned replacement that are tried: quarters, then half years, then years. */
const replacementWeeks: readonly number[] = [
  13, 26, 39, 52, 78, 104, 156, 208, 260, 312, 364, 416, 468, 520,
];

/** Leave it: never cleaned, never replaced but after a breakdown. */
export const leavePlan = (laid: Laid): CleanPlan => ({
  everyWeeks: laid.grid.weeks,
  replaceIfLow: false,
  endWeek: laid.grid.weeks,
});

/** Expected cost of each plan for the contact as it is now, first cleaning now. */
export function expectedCosts(laid: Laid, plans: readonly CleanPlan[]): readonly number[] {
  const growths = growthNodes(laid, COARSE.growth);
  const cures = cureNodes(laid, COARSE.cure);
  const levels = levelNodes(laid.subject, COARSE);
  const lines = growths.map((growth) =>
    levels.map((level) => uncuredAt(laid, level.value, growth.value)),
  );
  return plans.map((plan) => {
    let total = 0;
    for (const [g, growth] of growths.entries()) {
      const own = (lines[g] ?? []).map((line, k) => ({
        line,
        losses: uncuredBlocks(laid, plan, line),
        weight: growth.weight * (levels[k]?.weight ?? 0),
      }));
      for (const cure of cures) {
        const cured = curedValues(laid, plan, growth.table, cure.value);
        for (const { line, losses, weight } of own)
          total +=
            weight * cure.weight * planCost(laid, plan, line, losses, cured, cure.value, true);
      }
    }
    return total;
  });
}

/** The plan with the least expected cost. */
function cheapest(laid: Laid, plans: readonly CleanPlan[]): CleanPlan {
  const costs = expectedCosts(laid, plans);
  const best = plans[costs.indexOf(Math.min(...costs))];
  if (best === undefined) throw new Error("no plan to choose from");
  return best;
}

/** Every interval, with and without replacing what still reads low after a cleaning. */
export function cleaningPlans(laid: Laid): readonly CleanPlan[] {
  const endWeek = laid.grid.weeks;
  return [...cleaningIntervals.filter((every) => every < endWeek), endWeek].flatMap((everyWeeks) =>
    [false, true].map((replaceIfLow) => ({ everyWeeks, replaceIfLow, endWeek })),
  );
}

/** Clean now and every T weeks, the best T. */
export const bestCleaning = (laid: Laid): CleanPlan => cheapest(laid, cleaningPlans(laid));

/** Clean on as that plan does and replace at the best later week; null: not within the horizon. */
export function bestReplacement(laid: Laid, cleaning: CleanPlan): CleanPlan | null {
  const plans = replacementWeeks
    .filter((week) => week < laid.grid.weeks)
    .map((endWeek) => ({ ...cleaning, endWeek }));
  const best = cheapest(laid, [...plans, cleaning]);
  return best.endWeek < laid.grid.weeks ? best : null;
}
