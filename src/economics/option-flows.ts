import type { Costs } from "../domain/costs.ts";
import { circuitKey } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { lossPrices } from "../policy/decide-walk.ts";
import { lanesLost, shareInUse } from "../policy/lane-roles.ts";
import { QUARTERS } from "./horizon.ts";
import type { YearFlow } from "./life-cycle.ts";
import type { OptionYear } from "./memo-options.ts";
import type { Track } from "./track.ts";
import type { UpkeepGroup } from "./upkeep.ts";

/** A share of a group's connectors that an option keeps in one way. */
export interface Branch {
  /** Shares of a group add to 1. */
  readonly share: number;
  readonly track: Track;
  /** What takes its place, bought by the option: the track of a new connector, and after what year. */
  readonly bought: { readonly track: Track; readonly afterYear: number } | null;
}

/** A group and how an option keeps it. */
export interface KeptGroup {
  readonly group: UpkeepGroup;
  readonly branches: readonly Branch[];
}

/** Quarters that go on for ever where a horizon is longer than what was followed: two years. */
const REPEATED = 2 * QUARTERS;

/** Quarter to look a track up at. */
function followed({ cleanings: { length } }: Track, quarter: number): number {
  if (quarter < length) return quarter;
  const again = Math.min(REPEATED, length);
  return length - again + ((quarter - length) % again);
}

/** A figure of one branch in one quarter: before and after what was bought. */
function inQuarter(
  { track, bought }: Branch,
  quarter: number,
  of: (track: Track, quarter: number) => number,
): number {
  const from = bought === null ? Number.POSITIVE_INFINITY : bought.afterYear * QUARTERS;
  const now = quarter < from ? track : bought!.track;
  return of(now, followed(now, quarter < from ? quarter : quarter - from));
}

/** P(no contact fails it in a meet of a quarter), by circuit. */
function worksIn(
  kept: readonly KeptGroup[],
  quarter: number,
  { lossChance, intermittentLoss }: { lossChance: number; intermittentLoss: number },
): ReadonlyMap<string, number> {
  const works = new Map<string, number>();
  for (const { group, branches } of kept)
    for (const [c, { circuits }] of group.contacts.entries()) {
      const fails = branches.reduce(
        (sum, branch) =>
          sum +
          branch.share *
            inQuarter(branch, quarter, ({ trouble }, q) => {
              const { low, open, intermittent } = trouble[c]!;
              return low[q]! * lossChance + open[q]! + intermittent[q]! * intermittentLoss;
            }),
        0,
      );
      for (const circuit of circuits)
        works.set(circuit, (works.get(circuit) ?? 1) * (1 - Math.min(1, fails)));
    }
  return works;
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
  const least = lost(() => own);
  return Float64Array.from({ length: quarters }, (_, quarter) => {
    const works = worksIn(kept, quarter, loss);
    const failing = (circuit: Parameters<typeof circuitKey>[0]): number =>
      1 - (1 - own) * (works.get(circuitKey(circuit)) ?? 1);
    return lost(failing) - least;
  });
}

/** Prices of one connector's works [currency]. */
const worksOf = ({ costs: own }: UpkeepGroup, costs: Costs) => {
  const hour = costs.labourPerHour.value;
  return {
    clean: (hour * own.cleanMinutes) / 60,
    replace: own.part + (hour * own.replaceMinutes) / 60,
  };
};

/** Price of a connector of a group, fitted [currency]. */
export const fittedPrice = (group: UpkeepGroup, costs: Costs): number =>
  worksOf(group, costs).replace;

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
    const price = worksOf(group, costs);
    for (const branch of branches) {
      const number = branch.share * group.places.length;
      const { now, isNew } = branch.bought?.afterYear === 0 ? branch.bought.track : branch.track;
      years[0]!.cleaning += number * now.cleanings * price.clean;
      years[0]![isNew ? "replacing" : "renewing"] += number * now.replacements * price.replace;
      if (branch.bought !== null && branch.bought.afterYear > 0) {
        const row = years[branch.bought.afterYear];
        if (row !== undefined) row.replacing += number * price.replace;
      }
      for (let quarter = 0; quarter < quarters; quarter++) {
        const row = years[Math.floor(quarter / QUARTERS) + 1]!;
        row.cleaning +=
          number * price.clean * inQuarter(branch, quarter, (t, q) => t.cleanings[q]!);
        row.renewing +=
          number * price.replace * inQuarter(branch, quarter, (t, q) => t.replacements[q]!);
      }
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
