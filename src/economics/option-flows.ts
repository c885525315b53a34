import type { Costs } from "../domain/costs.ts";
import type { Pool } from "../domain/pool.ts";
import { lossPrices } from "../policy/failure-prices.ts";
import { lanesLost, shareInUse } from "../policy/lane-roles.ts";
import { lookPrice, workPrices } from "../policy/work-prices.ts";
import { QUARTERS } from "./horizon.ts";
import type { YearFlow } from "./life-cycle.ts";
import type { OptionYear } from "./memo-options.ts";
import { type Branch, wearOf } from "./option-wear.ts";
import type { UpkeepGroup } from "./upkeep.ts";

/** A group and how an option keeps it. */
export interface KeptGroup {
  readonly group: UpkeepGroup;
  readonly branches: readonly Branch[];
}

/** Lanes that a meet of each quarter loses to the timing path: beyond what devices lose by themselves. */
function lostLanesByQuarter(
  pool: Pool,
  kept: readonly KeptGroup[],
  costs: Costs,
  quarters: number,
): Float64Array {
  const loss = lossPrices({ pool, costs });
  const [own, fallback] = [costs.ownFailure.value, costs.fallbackCost.value];
  const lost = lanesLost(pool, fallback);
  const least = lost(pool.circuits.map(() => own));
  const wear = kept.map(({ group, branches }) => wearOf(pool, group, branches, quarters));
  const works = new Float64Array(pool.circuits.length);
  return Float64Array.from({ length: quarters }, (_, quarter) => {
    works.fill(1);
    for (const { contacts } of wear)
      for (const { circuits, low, open, intermittent } of contacts) {
        const fails =
          low[quarter]! * loss.lossChance +
          open[quarter]! +
          intermittent[quarter]! * loss.intermittentLoss;
        const holds = 1 - Math.min(1, fails);
        for (let k = 0; k < circuits.length; k++) works[circuits[k]!]! *= holds;
      }
    for (let k = 0; k < works.length; k++) works[k] = 1 - (1 - own) * works[k]!;
    return lost(works) - least;
  });
}

/** Price of a connector of a group, fitted [currency]. */
export const fittedPrice = (group: UpkeepGroup, costs: Costs): number =>
  workPrices(costs, group.costs).replace;

/** Meets a year, times the share of the pool's lanes that they swim in. */
const lanesSwum = (pool: Pool, costs: Costs): number =>
  costs.meetsPerSeason.value * shareInUse(pool, costs);

/** Lanes lost in meets to the timing path, a year: in the first, and on average. */
export function lostLanesAYear(
  pool: Pool,
  kept: readonly KeptGroup[],
  costs: Costs,
  quarters: number,
): { readonly firstYear: number; readonly onAverage: number } {
  const lanes = lostLanesByQuarter(pool, kept, costs, quarters);
  const mean = (of: Float64Array): number => of.reduce((sum, each) => sum + each, 0) / of.length;
  const swum = lanesSwum(pool, costs);
  return { firstYear: swum * mean(lanes.slice(0, QUARTERS)), onAverage: swum * mean(lanes) };
}

/** What the pool costs year by year under an option. `quarters`: of the horizon. */
export function optionYears(
  pool: Pool,
  kept: readonly KeptGroup[],
  costs: Costs,
  quarters: number,
): readonly OptionYear[] {
  const years = Array.from({ length: Math.ceil(quarters / QUARTERS) + 1 }, (_, year) => ({
    year,
    replacing: 0,
    renewing: 0,
    cleaning: 0,
    lostLanes: 0,
    total: 0,
  }));
  for (const { group, branches } of kept) {
    const price = workPrices(costs, group.costs);
    for (const branch of branches) {
      const number = branch.share * group.places.length;
      const { now, isNew } = branch.bought?.afterYear === 0 ? branch.bought.track : branch.track;
      years[0]!.cleaning += number * now.cleanings * price.clean;
      if (group.looks && !isNew) years[0]!.cleaning += number * lookPrice(costs);
      years[0]![isNew ? "replacing" : "renewing"] += number * now.replacements * price.replace;
      if (branch.bought !== null && branch.bought.afterYear > 0) {
        const row = years[branch.bought.afterYear];
        if (row !== undefined) row.replacing += number * price.replace;
      }
    }
    const { cleanings, replacements } = wearOf(pool, group, branches, quarters);
    for (let quarter = 0; quarter < quarters; quarter++) {
      const row = years[Math.floor(quarter / QUARTERS) + 1]!;
      row.cleaning += group.places.length * price.clean * cleanings[quarter]!;
      row.renewing += group.places.length * price.replace * replacements[quarter]!;
    }
  }
  for (const [quarter, lanes] of lostLanesByQuarter(pool, kept, costs, quarters).entries())
    years[Math.floor(quarter / QUARTERS) + 1]!.lostLanes +=
      (lanes * lanesSwum(pool, costs) * costs.lostLane.value) / QUARTERS;
  for (const row of years) row.total = row.replacing + row.renewing + row.cleaning + row.lostLanes;
  return years;
}

/** Replacements are capital, cleaning and lost lanes are operation; nothing is worth selling. */
export const asFlows = (years: readonly OptionYear[]): readonly YearFlow[] =>
  years.map(({ year, replacing, renewing, cleaning, lostLanes: lost }) => ({
    year,
    investment: replacing + renewing,
    operating: cleaning + lost,
    residual: 0,
  }));
