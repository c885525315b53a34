import type { Costs } from "../domain/costs.ts";
import type { Pool } from "../domain/pool.ts";
import type { LossPrices } from "../policy/decide-pool.ts";
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

/** P(no contact of a circuit fails its device in a meet), quarter by quarter: `[quarter][circuit]`. */
interface Holding {
  readonly loss: LossPrices;
  readonly table: Float64Array;
}

/** The last of each option: where the timer's input says what is lost, no assumption moves it. */
const holdings = new WeakMap<readonly KeptGroup[], Holding>();

function holdingOf(
  pool: Pool,
  kept: readonly KeptGroup[],
  loss: LossPrices,
  quarters: number,
): Float64Array {
  const { length } = pool.circuits;
  const before = holdings.get(kept);
  if (
    before !== undefined &&
    before.loss.lossChance === loss.lossChance &&
    before.loss.intermittentLoss === loss.intermittentLoss &&
    before.table.length >= quarters * length
  )
    return before.table;
  const table = new Float64Array(quarters * length).fill(1);
  for (const { group, branches } of kept)
    for (const { circuits, low, open, intermittent } of wearOf(pool, group, branches, quarters)
      .contacts)
      for (let quarter = 0; quarter < quarters; quarter++) {
        const fails =
          low[quarter]! * loss.lossChance +
          open[quarter]! +
          intermittent[quarter]! * loss.intermittentLoss;
        const holds = 1 - Math.min(1, fails);
        for (let k = 0; k < circuits.length; k++) table[quarter * length + circuits[k]!]! *= holds;
      }
  holdings.set(kept, { loss, table });
  return table;
}

/** Lanes that a meet of each quarter loses to the timing path: beyond what devices lose by themselves. */
function lostLanesByQuarter(
  pool: Pool,
  kept: readonly KeptGroup[],
  costs: Costs,
  quarters: number,
): Float64Array {
  const [own, fallback] = [costs.ownFailure.value, costs.fallbackCost.value];
  const lost = lanesLost(pool, fallback);
  const holding = holdingOf(pool, kept, lossPrices({ pool, costs }), quarters);
  const fails = new Float64Array(pool.circuits.length).fill(own);
  const least = lost(fails);
  const lanes = new Float64Array(quarters);
  for (let quarter = 0, at = 0; quarter < quarters; quarter++) {
    for (let k = 0; k < fails.length; k++, at++) fails[k] = 1 - (1 - own) * holding[at]!;
    lanes[quarter] = lost(fails) - least;
  }
  return lanes;
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

/**
 * What the pool costs year by year under an option.
 *
 * @param quarters of the horizon
 * @param priced a group at other prices of work
 */
export function optionYears(
  pool: Pool,
  kept: readonly KeptGroup[],
  costs: Costs,
  quarters: number,
  priced: (group: UpkeepGroup) => UpkeepGroup = (group) => group,
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
    const price = workPrices(costs, priced(group).costs);
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
    const [clean, replace] = [
      group.places.length * price.clean,
      group.places.length * price.replace,
    ];
    for (let quarter = 0; quarter < quarters; quarter++) {
      const row = years[Math.floor(quarter / QUARTERS) + 1]!;
      row.cleaning += clean * cleanings[quarter]!;
      row.renewing += replace * replacements[quarter]!;
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
