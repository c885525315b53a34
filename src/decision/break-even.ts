import { bisect } from "simple-statistics";
import { cheapest, expectedCosts } from "./best-plan.ts";
import { type CleanPlan, curedValues, planCost, uncuredBlocks } from "./clean-course.ts";
import { type ConnectorCase, readingAt } from "./connector-case.ts";
import type { BreakEvenReading } from "./decision.ts";
import { COARSE, cureNodes, growthNodes, type Laid, uncuredAt } from "./keeping.ts";

/** Highest resistance at which the break-even is looked for [Ω]. */
const HIGHEST_OHMS = 1e6;
/** Scatter over its floor up to which a contact may well be one that the cleaning cured. */
const CURED_REACH = 2;
/** How near two levels count as one [ln Ω]: under a hundredth of a volt on any path. */
const NEAR = 1e-3;
/** The turn of a plan moves a little with what the plan does; it settles in two or three rounds. */
const MOST_ROUNDS = 8;

/** Cost of going on by a plan after a cleaning that failed, by the level that is left. */
function keepingCost(laid: Laid, plan: CleanPlan): (level: number) => number {
  const growths = growthNodes(laid, COARSE.growth);
  const cures = cureNodes(laid, COARSE.cure, 1);
  const cured = growths.map(({ table }) => curedValues(laid, plan, table, cures));
  return (level) => {
    let total = 0;
    for (const [g, growth] of growths.entries()) {
      const blocks = uncuredBlocks(laid, plan, uncuredAt(laid, level, growth.value));
      for (const [c, cure] of cures.entries()) {
        const values = cured[g]?.[c] as Float64Array;
        total +=
          growth.weight * cure.weight * planCost(laid, plan, blocks, values, cure.value, false);
      }
    }
    return total;
  };
}

/** The least level that tells a failed cleaning from one that cured [ln Ω]. */
const failedFrom = ({ floorOhms, newOhms, scatterLogSd }: ConnectorCase): number =>
  Math.log(Math.max(floorOhms, newOhms)) + CURED_REACH * scatterLogSd;

/** Level after a failed cleaning over which replacing now is cheaper than going on by the plan. */
function turningLevel(laid: Laid, plan: CleanPlan): number {
  const keeping = keepingCost(laid, plan);
  const replacing = laid.replaceAt[0] as number;
  const excess = (level: number): number => keeping(level) - replacing;
  const lowest = failedFrom(laid.subject);
  const highest = Math.log(HIGHEST_OHMS);
  if (excess(lowest) >= 0) return lowest;
  if (excess(highest) <= 0) return Number.POSITIVE_INFINITY;
  return bisect(excess, lowest, highest, 60, NEAR / 2);
}

/** The level that a plan turns at if it replaces there itself. */
function settledLevel(laid: Laid, plan: CleanPlan): number {
  let level = turningLevel(laid, plan);
  for (let round = 1; round < MOST_ROUNDS; round += 1) {
    const replaceOver = level === Number.POSITIVE_INFINITY ? null : level;
    const next = turningLevel(laid, { ...plan, replaceOver });
    if (next === level || Math.abs(next - level) < NEAR) break;
    level = next;
  }
  return level;
}

/**
 * The same plan, replacing after a failed cleaning where that makes it cheapest: at the level that
 * it settles at, where it replaced before, or nowhere. What is weighed and what is said are then
 * one. The settled level alone need not do: one more cleaning may be worth its price, and an
 * endless row of them not.
 */
export function turningPlan(laid: Laid, plan: CleanPlan): CleanPlan {
  const settled = settledLevel(laid, plan);
  const levels = settled === Number.POSITIVE_INFINITY ? [] : [settled];
  const plans = [...levels, plan.replaceOver, null].map((replaceOver) => ({
    ...plan,
    replaceOver,
  }));
  return cheapest(laid, plans);
}

/** The last point's reading, after a cleaning, under which the plan replaces. */
export function breakEvenReading(laid: Laid, { replaceOver }: CleanPlan): BreakEvenReading {
  if (replaceOver === null) return { kind: "never-replace" };
  if (replaceOver <= failedFrom(laid.subject)) return { kind: "always-replace" };
  const contactOhms = Math.exp(replaceOver);
  return { kind: "reading", contactOhms, volts: readingAt(laid.subject.path, contactOhms) };
}

/**
 * Weeks that a cleaning must hold for the cleaning plan to cost no more than replacing now: the
 * shortest interval at which it would not, were no lane lost to low readings in between. Breakdowns,
 * failed cleanings and the replacements after them count as in the plan. So a plan that is cheaper
 * than replacing never has a shorter interval than this: with its losses it costs more still. Null:
 * no time is enough, not even once for all.
 */
export function breakEvenWeeks(laid: Laid, plan: CleanPlan): number | null {
  const lossless = { ...laid, prices: { ...laid.prices, lowWeek: 0, openWeek: 0 } };
  const replacing = laid.replaceAt[0] as number;
  const enough = (everyWeeks: number): boolean =>
    (expectedCosts(lossless, [{ ...plan, everyWeeks }])[0] as number) <= replacing;
  const planned = enough(plan.everyWeeks);
  let [short, long] = planned ? [0, plan.everyWeeks] : [plan.everyWeeks, laid.grid.weeks];
  if (!planned && !enough(long)) return null;
  while (long - short > 1) {
    const middle = Math.floor((short + long) / 2);
    if (enough(middle)) long = middle;
    else short = middle;
  }
  return long;
}
