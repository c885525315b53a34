import { type CleanPlan, curedValues, planCost, uncuredBlocks } from "./clean-course.ts";
import { cleaningIntervals, fewIntervals } from "./fresh-connector.ts";
import {
  COARSE,
  cureNodes,
  type Fineness,
  growthNodes,
  type Laid,
  levelNodes,
  uncuredAt,
} from "./keeping.ts";

/** Leave it: never cleaned, never replaced but after a breakdown. */
export const leavePlan = (laid: Laid): CleanPlan => ({
  everyWeeks: laid.grid.weeks,
  replaceOver: null,
  endWeek: laid.grid.weeks,
});

/** Expected cost of each plan for the contact as it is now, first cleaning now. */
export function expectedCosts(
  laid: Laid,
  plans: readonly CleanPlan[],
  fineness: Fineness = COARSE,
): readonly number[] {
  const growths = growthNodes(laid, fineness.growth);
  const cures = cureNodes(laid, fineness.cure);
  const levels = levelNodes(laid.subject, fineness);
  const lines = growths.map((growth) =>
    levels.map((level) => uncuredAt(laid, level.value, growth.value)),
  );
  return plans.map((plan) => {
    let total = 0;
    for (const [g, growth] of growths.entries()) {
      const own = (lines[g] ?? []).map((line, k) => ({
        blocks: uncuredBlocks(laid, plan, line),
        weight: growth.weight * (levels[k]?.weight ?? 0),
      }));
      const cured = curedValues(laid, plan, growth.table, cures);
      for (const [c, cure] of cures.entries())
        for (const { blocks, weight } of own) {
          const values = cured[c] as Float64Array;
          total += weight * cure.weight * planCost(laid, plan, blocks, values, cure.value, true);
        }
    }
    return total;
  });
}

/** Every interval, with and without replacing what still reads under the limit after a cleaning. */
function cleaningPlans(laid: Laid): readonly CleanPlan[] {
  const endWeek = laid.grid.weeks;
  return [...cleaningIntervals.filter((every) => every < endWeek), endWeek].flatMap((everyWeeks) =>
    [null, laid.limit.logOhms].map((replaceOver) => ({ everyWeeks, replaceOver, endWeek })),
  );
}

/** For adding up a whole pool, where one connector matters less. */
export const QUICK: Fineness = { sound: 1, fouled: 3, growth: 2, cure: 3 };

/** How one connector of a whole pool is kept: left alone, or cleaned now and every T weeks. */
export interface KeepingPlan {
  readonly plan: CleanPlan;
  readonly cleanNow: boolean;
}

/**
 * The cheapest way to keep a connector by cleaning alone: it is replaced when it breaks down, and
 * not because a cleaning failed.
 */
export function quickKeeping(laid: Laid): KeepingPlan {
  const plans = cleaningPlans(laid).filter(
    ({ everyWeeks, endWeek, replaceOver }) =>
      replaceOver === null && (everyWeeks === endWeek || fewIntervals.includes(everyWeeks)),
  );
  const costs = expectedCosts(laid, plans, QUICK);
  const least = Math.min(...costs);
  const plan = plans[costs.indexOf(least)];
  const leaving = leavingCost(laid, QUICK);
  if (plan === undefined || leaving <= least) return { plan: leavePlan(laid), cleanNow: false };
  return { plan, cleanNow: true };
}

/** Expected cost of leaving it. */
function leavingCost(laid: Laid, fineness: Fineness): number {
  const plan = leavePlan(laid);
  let total = 0;
  for (const growth of growthNodes(laid, fineness.growth))
    for (const level of levelNodes(laid.subject, fineness)) {
      const line = uncuredAt(laid, level.value, growth.value);
      total += growth.weight * level.weight * (uncuredBlocks(laid, plan, line).losses[0] as number);
    }
  return total;
}
