import { normalNodes } from "../numerics/weighted-nodes.ts";
import { type Life, survival } from "../policy/age-replacement.ts";
import { WEEKS_PER_YEAR, type WeekGrid } from "../policy/week-grid.ts";
import type { ConnectorCase, CureRecord } from "./connector-case.ts";
import { type CuredTable, curedTable, onlyGrowing } from "./low-chance.ts";
import type { Prices } from "./prices.ts";

/**
 * What a newly fitted connector of this kind will cost: cleaned every so many weeks of its age,
 * replaced when it breaks down or on reaching an age, then the next one, and so on.
 *
 * Interval and age are the pair with the least long-run cost per week, found by trying every age:
 * `[replace + sum S(a) (cleaning and loss) + F breakdown] / sum S(a)`. Without film this is age
 * replacement by weeks (age-replacement.ts). The growth of a connector that is not yet fitted, and
 * what cleaning will do for it, are chance, not ignorance about this one: costs are averaged over
 * both.
 */
export interface FreshConnector {
  /** Weeks between cleanings; null: never cleaned. */
  readonly everyWeeks: number | null;
  /** Planned replacement on reaching this age [weeks]; null: run until breakdown. */
  readonly ageWeeks: number | null;
  /** Expected amounts in week k after the first fitting, which itself is left out. */
  readonly cleanings: Float64Array;
  readonly replacements: Float64Array;
  /** P(the path reads low) in week k. */
  readonly low: Float64Array;
  /** Expected breakdowns in week k. */
  readonly breakdowns: Float64Array;
  /** Present cost, from week s to the horizon, of one fitted at the start of week s [currency]. */
  readonly presentCost: Float64Array;
  /** P(its path reads low) in the week in which it is fitted. */
  readonly lowAtFirst: number;
}

/** Weeks between cleanings that are tried; one that is as long as the horizon is "never". */
export const cleaningIntervals: readonly number[] = [
  1, 2, 4, 6, 8, 10, 13, 17, 21, 26, 39, 52, 104,
];

const GROWTH_NODES = 5;
/** Ages are tried up to this multiple of the life's scale, and at most this many years. */
const AGE_REACH = 2.5;
const OLDEST_YEARS = 30;
/** A run of failed cleanings less likely than this is cut off. */
const NEGLIGIBLE = 1e-9;

/**
 * P(low) by age of a connector that is cleaned every `every` weeks. How often cleaning will cure it
 * is as uncertain as its kind's record leaves it, so runs of failures are beta-binomial:
 * `P(k failures) = prod (beta + i) / (alpha + beta + i)`, and a cure before them as likely as
 * `alpha / (alpha + beta + k)` of that.
 */
function lowByAge(
  table: CuredTable,
  weeks: number,
  every: number,
  { alpha, beta }: CureRecord,
): Float64Array {
  const low = new Float64Array(weeks);
  for (let age = 0; age < weeks; age += 1) {
    const block = Math.floor(age / every);
    const row = Math.floor(age / WEEKS_PER_YEAR) * table.stride;
    const offset = row + age - block * every;
    let missed = 1;
    let sum = 0;
    for (let past = 0; past < block && missed > NEGLIGIBLE; past += 1) {
      const all = alpha + beta + past;
      sum += missed * (alpha / all) * (table.values[past * every + offset] as number);
      missed *= (beta + past) / all;
    }
    low[age] = sum + missed * (table.values[row + age] as number);
  }
  return low;
}

/** One table for all growths: low chances are averaged before anything else is reckoned. */
function averageTable(subject: ConnectorCase, weeks: number): CuredTable {
  const limit = { logOhms: Math.log(subject.lowOhms), scatter: subject.scatterLogSd };
  const floor = { logOhms: Math.log(subject.newOhms), creepPerYear: subject.creepPerYear };
  const nodes = normalNodes(subject.likeGrowth.mean, subject.likeGrowth.sd, GROWTH_NODES);
  const tables = nodes.map(({ value, weight }) => ({
    weight,
    ...curedTable(floor, onlyGrowing(value), limit, weeks),
  }));
  const values = new Float64Array(tables[0]?.values.length ?? 0);
  for (const table of tables)
    for (const [index, value] of table.values.entries()) values[index]! += table.weight * value;
  return { values, stride: weeks + 1 };
}

interface LongRun {
  readonly every: number;
  readonly age: number | null;
  readonly rate: number;
  readonly low: Float64Array;
}

/** Fewer, where the cost matters and not the interval itself: it is flat around its best. */
export const fewIntervals: readonly number[] = [2, 4, 8, 13, 26, 52, 104];

/**
 * When a new connector is replaced in its turn: at its best age, or, where a whole pool is kept by
 * cleaning alone, when it breaks down.
 */
export type Renewal = "best-age" | "at-breakdown";

/** The age at which the long-run cost per week is least, for one cleaning interval. */
function bestAge(
  low: Float64Array,
  alive: Float64Array,
  every: number,
  prices: Prices,
  renewal: Renewal,
): LongRun {
  let spent = prices.replace;
  let lived = 0;
  let best: LongRun = { every, age: null, rate: Number.POSITIVE_INFINITY, low };
  for (let age = 0; age < low.length; age += 1) {
    const now = alive[age] as number;
    const cleaning = age > 0 && age % every === 0 ? prices.clean : 0;
    spent += now * (cleaning + prices.lowWeek * (low[age] as number));
    spent += (now - (alive[age + 1] as number)) * prices.breakdown;
    lived += now;
    const last = age + 1 === low.length;
    if (spent / lived < best.rate && (last || renewal === "best-age"))
      best = { every, age: last ? null : age + 1, rate: spent / lived, low };
  }
  return best;
}

/** Weekly amounts of one fitting and all that follow it, by the renewal equation. */
function chain(
  run: LongRun,
  alive: Float64Array,
  weeks: number,
): Pick<FreshConnector, "cleanings" | "replacements" | "low" | "breakdowns"> {
  const end = Math.min(run.age ?? weeks, weeks);
  const fitted = new Float64Array(weeks + 1);
  const cleanings = new Float64Array(weeks);
  const low = new Float64Array(weeks);
  const breakdowns = new Float64Array(weeks);
  fitted[0] = 1;
  for (let start = 0; start < weeks; start += 1) {
    const share = fitted[start] as number;
    if (share < NEGLIGIBLE) continue;
    for (let age = 0; age < end && start + age < weeks; age += 1) {
      const now = share * (alive[age] as number);
      const gone = now - share * (alive[age + 1] as number);
      const week = start + age;
      if (age > 0 && age % run.every === 0) cleanings[week]! += now;
      low[week]! += now * (run.low[age] as number);
      breakdowns[week]! += gone;
      fitted[week + 1]! += gone;
    }
    if (run.age !== null && start + run.age <= weeks)
      fitted[start + run.age]! += share * (alive[run.age] as number);
  }
  const replacements = fitted.slice(0, weeks);
  replacements[0] = 0;
  return { cleanings, replacements, low, breakdowns };
}

/** Present cost at each week of fitting, the amounts falling in the calendar's years. */
function presentCosts(weekly: Float64Array, grid: WeekGrid): Float64Array {
  const running = new Float64Array(grid.weeks + 1);
  for (let k = 0; k < grid.weeks; k += 1)
    running[k + 1] = (running[k] as number) + (weekly[k] as number);
  return Float64Array.from({ length: grid.weeks + 1 }, (_, start) => {
    let total = 0;
    for (let week = start; week < grid.weeks; ) {
      const next = Math.min((Math.floor(week / WEEKS_PER_YEAR) + 1) * WEEKS_PER_YEAR, grid.weeks);
      const amount = (running[next - start] as number) - (running[week - start] as number);
      total += amount * (grid.discount[week] as number);
      week = next;
    }
    return total;
  });
}

/** Present cost of one fitted in each week, to the horizon, at these prices [currency]. */
export function freshCost(
  fresh: Pick<FreshConnector, "cleanings" | "replacements" | "low" | "breakdowns">,
  prices: Prices,
  grid: WeekGrid,
): Float64Array {
  const weekly = fresh.cleanings.map(
    (cleanings, week) =>
      cleanings * prices.clean +
      (fresh.replacements[week] as number) * prices.replace +
      (fresh.low[week] as number) * prices.lowWeek +
      (fresh.breakdowns[week] as number) * prices.breakdown,
  );
  return presentCosts(weekly, grid);
}

/** The best way to keep a new connector of this kind, and what that costs. */
export function freshConnector(
  subject: ConnectorCase,
  prices: Prices,
  grid: WeekGrid,
  renewal: Renewal = "best-age",
): FreshConnector {
  const life: Life = {
    shape: subject.costs.lifeShape,
    scale: subject.costs.lifeYears * WEEKS_PER_YEAR,
  };
  const reach = Math.max(
    grid.weeks,
    Math.min(Math.ceil(AGE_REACH * life.scale), OLDEST_YEARS * WEEKS_PER_YEAR),
  );
  const alive = Float64Array.from({ length: reach + 1 }, (_, age) => survival(life, age));
  const table = averageTable(subject, reach);
  const intervals = renewal === "best-age" ? cleaningIntervals : fewIntervals;
  const runs = [...intervals.filter((every) => every < reach), reach].map((every) =>
    bestAge(lowByAge(table, reach, every, subject.likeCure), alive, every, prices, renewal),
  );
  const run = runs.reduce((best, next) => (next.rate < best.rate ? next : best));
  const amounts = chain(run, alive, grid.weeks);
  return {
    everyWeeks: run.every === reach ? null : run.every,
    ageWeeks: run.age,
    ...amounts,
    presentCost: freshCost(amounts, prices, grid),
    lowAtFirst: run.low[0] as number,
  };
}
