import type { Costs } from "../domain/costs.ts";
import { concernsLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { annualValue, lifeCycleCost, type YearFlow } from "../economics/life-cycle.ts";
import { lostLane } from "../policy/lane-roles.ts";
import { flowYear, WEEKS_PER_YEAR, type WeekGrid, weekGrid } from "../policy/week-grid.ts";
import type { Amounts } from "./amounts.ts";
import { type KeepingPlan, QUICK, quickKeeping } from "./best-plan.ts";
import type { ConnectorCase } from "./connector-case.ts";
import { keepingAmounts, replacingAmounts } from "./course-amounts.ts";
import { emptyMemory, layOut } from "./keeping.ts";
import type { OptionYear } from "./memo-options.ts";
import { pricesOf } from "./prices.ts";

/** One connector of the pool: what keeping it takes, and what replacing it now takes. */
export interface Upkeep {
  readonly subject: ConnectorCase;
  readonly keeping: KeepingPlan;
  readonly kept: Amounts;
  readonly replaced: Amounts;
}

const atHorizon = (costs: Costs, years: number): Costs => ({
  ...costs,
  horizonYears: { ...costs.horizonYears, value: years },
});

/** The longest horizon that a sensitivity may ask for [years]. */
const longestHorizon = (costs: Costs): number =>
  Math.max(costs.horizonYears.value, costs.horizonYears.high);

/**
 * Amounts of every connector out to the longest horizon, its plan chosen for the horizon itself.
 * New connectors are then kept as the old ones are, by cleaning until they break down, so that only
 * the replacement itself tells the options apart. `plans`, where given, are kept: a sensitivity moves an assumption, not what is done.
 */
export function poolUpkeep(
  subjects: readonly ConnectorCase[],
  costs: Costs,
  plans: readonly KeepingPlan[] | null = null,
): readonly Upkeep[] {
  const [near, far] = [emptyMemory("at-breakdown"), emptyMemory("at-breakdown")];
  const longest = longestHorizon(costs);
  return subjects.map((subject, index) => {
    const keeping = plans?.[index] ?? quickKeeping(layOut(subject, costs, near));
    const laid = layOut(subject, atHorizon(costs, longest), far);
    const { plan, cleanNow } = keeping;
    const never = plan.everyWeeks === plan.endWeek;
    const onward = {
      ...plan,
      everyWeeks: never ? laid.grid.weeks : plan.everyWeeks,
      endWeek: laid.grid.weeks,
    };
    return {
      subject,
      keeping,
      kept: keepingAmounts(laid, onward, cleanNow, QUICK),
      replaced: replacingAmounts(laid),
    };
  });
}

const sum = (weekly: Float64Array, from: number, to: number): number => {
  let total = 0;
  for (let week = from; week < to; week += 1) total += weekly[week] as number;
  return total;
};

/** First week of a year, and the week after its last. */
const weeksOf = (year: number, weeks: number): readonly [number, number] => [
  (year - 1) * WEEKS_PER_YEAR,
  Math.min(year * WEEKS_PER_YEAR, weeks),
];

/** What the pool costs year by year with some of its connectors replaced now. */
export function optionYears(
  upkeep: readonly Upkeep[],
  replaced: ReadonlySet<Upkeep>,
  costs: Costs,
): readonly OptionYear[] {
  const grid = weekGrid(costs.horizonYears.value, costs.discountRate.value);
  const years = Array.from({ length: flowYear(grid.weeks - 1) + 1 }, (_, year) => ({
    year,
    replacing: 0,
    renewing: 0,
    cleaning: 0,
    lostLanes: 0,
    total: 0,
  }));
  for (const each of upkeep) {
    const now = replaced.has(each);
    const amounts = now ? each.replaced : each.kept;
    const prices = pricesOf(each.subject, costs);
    for (const row of years) {
      const [from, to] = row.year === 0 ? [0, 1] : weeksOf(row.year, grid.weeks);
      // Work at the start of the first week is paid now; its risk is the first year's.
      const working = row.year === 1 ? 1 : from;
      const fitting = sum(amounts.replacements, working, to) * prices.replace;
      if (now && row.year === 0) row.replacing += fitting;
      else row.renewing += fitting;
      row.cleaning += sum(amounts.cleanings, working, to) * prices.clean;
      if (row.year > 0)
        row.lostLanes +=
          sum(amounts.low, from, to) * prices.lowWeek +
          sum(amounts.open, from, to) * prices.openWeek +
          sum(amounts.breakdowns, from, to) * prices.breakdown;
    }
  }
  for (const row of years) row.total = row.replacing + row.renewing + row.cleaning + row.lostLanes;
  return years;
}

/** Replacements are capital, cleaning and lost lanes are operation; nothing is worth selling. */
export const asFlows = (years: readonly OptionYear[]): readonly YearFlow[] =>
  years.map(({ year, replacing, renewing, cleaning, lostLanes }) => ({
    year,
    investment: replacing + renewing,
    operating: cleaning + lostLanes,
    residual: 0,
  }));

/** Life-cycle cost of an option, in all and per year [currency]. */
export function presentCosts(
  years: readonly OptionYear[],
  costs: Costs,
): { readonly lifeCycleCost: number; readonly annualCost: number } {
  const { study } = weekGrid(costs.horizonYears.value, costs.discountRate.value);
  const present = lifeCycleCost(asFlows(years), study);
  return { lifeCycleCost: present, annualCost: annualValue(present, study) };
}

/**
 * Expected number of the pool's lanes that have their timing, on average over the horizon, one
 * connector's trouble independent of another's. One rule with readiness: `lane-needs.ts`.
 */
export function lanesKept(
  upkeep: readonly Upkeep[],
  replaced: ReadonlySet<Upkeep>,
  pool: Pool,
  grid: WeekGrid,
): number {
  let total = 0;
  for (const lane of pool.lanes) {
    const lost = lostLane(pool, lane);
    const own = upkeep
      .filter(({ subject }) => concernsLane(subject.place, lane))
      .map((each) => ({
        takes: each.subject.takes,
        amounts: replaced.has(each) ? each.replaced : each.kept,
      }));
    for (let week = 0; week < grid.weeks; week++) {
      const troubles = own.map(({ takes, amounts: { low, open } }) => ({
        takes,
        chance: Math.min(1, low[week]! + open[week]!),
      }));
      total += (1 - lost(troubles)) / grid.weeks;
    }
  }
  return total;
}
