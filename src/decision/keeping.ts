import type { Costs } from "../domain/costs.ts";
import { betaNodes, type Node, normalNodes } from "../numerics/weighted-nodes.ts";
import { survivalBeyond } from "../policy/age-replacement.ts";
import { WEEKS_PER_YEAR, type WeekGrid, weekGrid } from "../policy/week-grid.ts";
import { type Amounts, addFitted, emptyAmounts } from "./amounts.ts";
import type { Keeping, Uncured } from "./clean-course.ts";
import type { ConnectorCase } from "./connector-case.ts";
import { type FreshConnector, freshConnector, type Renewal } from "./fresh-connector.ts";
import {
  curedTable,
  type GrowingTable,
  type LowLimit,
  onlyGrowing,
  uncuredLine,
} from "./low-chance.ts";
import { type Prices, pricesOf } from "./prices.ts";

/** Connectors of one kind and age, set out on the weeks of the horizon. */
interface Kind extends Keeping {
  readonly fresh: FreshConnector;
  readonly limit: LowLimit;
  /** What follows the breakdowns of an installed connector that nothing else ends. */
  readonly afterBreakdowns: () => Amounts;
}

/** One connector set out on the weeks of the horizon, ready for any course. */
export interface Laid extends Kind {
  readonly subject: ConnectorCase;
  readonly costs: Costs;
}

/** Remembers kinds: their connectors differ in their contacts only. */
export interface KindMemory {
  readonly kinds: Map<string, Kind>;
  readonly fresh: Map<string, FreshConnector>;
  /** When new connectors are replaced in their turn. */
  readonly renewal: Renewal;
}

export const emptyMemory = (renewal: Renewal = "best-age"): KindMemory => ({
  kinds: new Map(),
  fresh: new Map(),
  renewal,
});

/** What a new connector's costs depend on, as a key. */
const freshKey = (subject: ConnectorCase, costs: Costs): string =>
  JSON.stringify([
    subject.likeGrowth,
    subject.newOhms,
    subject.creepPerYear,
    subject.likeCure,
    subject.lowOhms,
    subject.scatterLogSd,
    subject.lossChance,
    subject.lanes,
    subject.costs,
    costs.labourPerHour.value,
    costs.discountRate.value,
    costs.horizonYears.value,
    costs.meetsPerSeason.value,
    costs.lostLane.value,
    costs.checkWeeks,
  ]);

/** What replacements and breakdowns cost at these prices, new connectors costing `freshCosts`. */
function endings(
  grid: WeekGrid,
  alive: Float64Array,
  prices: Prices,
  freshCosts: Float64Array,
): Pick<Keeping, "replaceAt" | "brokenBy"> {
  const replaceAt = grid.workDiscount.map(
    (discount, week) => discount * prices.replace + (freshCosts[week] as number),
  );
  const brokenBy = new Float64Array(grid.weeks + 1);
  for (let week = 0; week < grid.weeks; week += 1) {
    const gone = (alive[week] as number) - (alive[week + 1] as number);
    const refit = week + 1 < grid.weeks ? (replaceAt[week + 1] as number) : 0;
    const lost = (grid.discount[week] as number) * prices.breakdown;
    brokenBy[week + 1] = (brokenBy[week] as number) + gone * (lost + refit);
  }
  return { replaceAt, brokenBy };
}

function kindOf(subject: ConnectorCase, costs: Costs, memory: KindMemory, key: string): Kind {
  const grid = weekGrid(costs.horizonYears.value, costs.discountRate.value);
  const prices = pricesOf(subject, costs);
  const fresh = memory.fresh.get(key) ?? freshConnector(subject, prices, grid, memory.renewal);
  memory.fresh.set(key, fresh);
  const life = {
    shape: subject.costs.lifeShape,
    scale: subject.costs.lifeYears * WEEKS_PER_YEAR,
  };
  const age = subject.ageYears * WEEKS_PER_YEAR;
  const alive = Float64Array.from({ length: grid.weeks + 1 }, (_, week) =>
    survivalBeyond(life, age, week),
  );
  const refitted = new Float64Array(grid.weeks + 1);
  for (let week = 0; week < grid.weeks; week += 1)
    refitted[week + 1] = (alive[week] as number) - (alive[week + 1] as number);
  const ends = endings(grid, alive, prices, fresh.presentCost);
  const lossWorth = grid.discount.map((discount, week) => discount * (alive[week] as number));
  const limit = { logOhms: Math.log(subject.lowOhms), scatter: subject.scatterLogSd };
  let after: Amounts | null = null;
  const afterBreakdowns = (): Amounts => {
    if (after === null) {
      after = emptyAmounts(grid.weeks);
      addFitted(fresh, refitted, after);
    }
    return after;
  };
  return { fresh, limit, grid, prices, alive, lossWorth, ...ends, afterBreakdowns };
}

/** Lays a connector out on the horizon. */
export function layOut(subject: ConnectorCase, costs: Costs, memory: KindMemory): Laid {
  const newKey = freshKey(subject, costs);
  const key = `${newKey} ${subject.ageYears}`;
  const kind = memory.kinds.get(key) ?? kindOf(subject, costs, memory, newKey);
  memory.kinds.set(key, kind);
  return { ...kind, subject, costs };
}

/** How finely each uncertain quantity is cut. */
export interface Fineness {
  readonly sound: number;
  readonly fouled: number;
  readonly growth: number;
  readonly cure: number;
}

/** For choosing among plans. */
export const COARSE: Fineness = { sound: 2, fouled: 5, growth: 3, cure: 5 };

/** The contact's level now: ln ohms, infinite if open. */
export function levelNodes(subject: ConnectorCase, fineness: Fineness): readonly Node[] {
  const { sound, fouled, open, soundLog, fouledLog } = subject.state;
  const weighted = (share: number, nodes: readonly Node[]): Node[] =>
    share === 0 ? [] : nodes.map(({ value, weight }) => ({ value, weight: share * weight }));
  return [
    ...weighted(sound, normalNodes(soundLog.mean, soundLog.sd, fineness.sound)),
    ...weighted(fouled, normalNodes(fouledLog.mean, fouledLog.sd, fineness.fouled)),
    ...weighted(open, [{ value: Number.POSITIVE_INFINITY, weight: 1 }]),
  ];
}

/** Growth nodes, each with its table of a cured contact. */
export function growthNodes(
  laid: Laid,
  count: number,
): readonly (Node & { readonly table: GrowingTable })[] {
  const { subject, limit, grid } = laid;
  const floor = { logOhms: Math.log(subject.floorOhms), creepPerYear: subject.creepPerYear };
  return normalNodes(subject.growth.mean, subject.growth.sd, count).map(({ value, weight }) => {
    const growth = onlyGrowing(value);
    return { value: growth, weight, table: curedTable(floor, growth, limit, grid.weeks) };
  });
}

export const cureNodes = (laid: Laid, count: number, failures = 0): readonly Node[] =>
  betaNodes(laid.subject.cure.alpha, laid.subject.cure.beta + failures, count);

/** An uncured contact at a level, week by week. */
export const uncuredAt = (laid: Laid, level: number, growth: number): Uncured => ({
  low: uncuredLine(level, growth, laid.limit, laid.grid.weeks),
  lowWeek: lowWeekAt(laid.prices, level),
  level,
  growthPerWeek: growth,
  limit: laid.limit,
});

/** What a low week costs at a level: an open contact loses every meet [currency per week]. */
export const lowWeekAt = (prices: Prices, level: number): number =>
  level === Number.POSITIVE_INFINITY ? prices.openWeek : prices.lowWeek;
