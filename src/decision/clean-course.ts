import type { Node } from "../numerics/weighted-nodes.ts";
import { WEEKS_PER_YEAR, type WeekGrid } from "../policy/week-grid.ts";
import {
  type CuredTable,
  type GrowingTable,
  type LowLimit,
  lowChance,
  tableOver,
} from "./low-chance.ts";
import type { Prices } from "./prices.ts";

/**
 * Cost of keeping what is installed: leaving it, or cleaning it every so many weeks, until the
 * horizon or a planned replacement. Everything conditional on growth and on the chance that a
 * cleaning cures; the caller averages.
 *
 * Weeks are counted from now. In week w the path reads low with the chance of its level, and meets
 * lose lanes with it. At a cleaning the contact is cured with chance `cure` and starts from its
 * floor; else its film goes on growing, and where it is over the level that the plan names, it is
 * replaced at once. Through all of it the connector may break down for good (`alive`), and is
 * then replaced.
 */
export interface CleanPlan {
  /** Weeks between cleanings; at or over `endWeek`: never again. */
  readonly everyWeeks: number;
  /** Replace what is over this after a cleaning that did not cure it [ln Ω]; null: clean on. */
  readonly replaceOver: number | null;
  /** The course ends here: horizon, or planned replacement. */
  readonly endWeek: number;
}

/** What does not depend on growth, level or cure. All present costs, from now. */
export interface Keeping {
  readonly grid: WeekGrid;
  readonly prices: Prices;
  /** P(the installed connector has not broken down by week w), from 1 at week 0. */
  readonly alive: Float64Array;
  /** Present cost of a loss of 1 in week w, if it is still the same connector. */
  readonly lossWorth: Float64Array;
  /** Cost of a replacement at the start of week w and of all that follows [currency]. */
  readonly replaceAt: Float64Array;
  /** Expected cost of breakdowns from week 0 up to week w, with all that follows [currency]. */
  readonly brokenBy: Float64Array;
}

/** What ends the course at its last week, if it is still the same connector [currency]. */
const ending = (keeping: Keeping, plan: CleanPlan): number =>
  plan.endWeek < keeping.grid.weeks
    ? (keeping.alive[plan.endWeek] as number) * (keeping.replaceAt[plan.endWeek] as number)
    : 0;

/**
 * Value just before a cleaning, from the values after it: cured, and not cured [currency]. `over`:
 * P(it is replaced | not cured).
 */
function throughCleaning(
  keeping: Keeping,
  week: number,
  cure: number,
  over: number,
  cured: number,
  uncured: number,
): number {
  const replaced = (1 - cure) * over;
  const now =
    keeping.prices.clean * (keeping.grid.workDiscount[week] as number) +
    replaced * (keeping.replaceAt[week] as number);
  return (keeping.alive[week] as number) * now + cure * cured + (1 - cure - replaced) * uncured;
}

/** A run of failed cleanings less likely than this is not told from a longer one. */
const NEGLIGIBLE = 1e-6;

/** Failed cleanings in a row that are told apart. */
const depthOf = (cure: number, blocks: number): number =>
  cure >= 1
    ? 1
    : Math.min(blocks, Math.ceil(Math.log(NEGLIGIBLE) / Math.log1p(-Math.max(cure, 1e-9))));

const blocksOf = ({ everyWeeks, endWeek }: CleanPlan): number => Math.ceil(endWeek / everyWeeks);

/** The weeks of a block, from one cleaning up to the next or the end. */
const weeksOf = ({ everyWeeks, endWeek }: CleanPlan, block: number): readonly [number, number] => [
  block * everyWeeks,
  Math.min((block + 1) * everyWeeks, endWeek),
];

/** Loss in the weeks of one block, `age` weeks after a cure at its start [currency]. */
function blockLoss(
  keeping: Keeping,
  table: CuredTable,
  start: number,
  end: number,
  age: number,
): number {
  const { lossWorth } = keeping;
  const { values, stride } = table;
  if (keeping.prices.lowWeek === 0) return 0;
  let sum = 0;
  for (let week = start; week < end; ) {
    const year = Math.floor(week / WEEKS_PER_YEAR);
    const stop = Math.min((year + 1) * WEEKS_PER_YEAR, end);
    const shift = year * stride + age - start;
    for (; week < stop; week += 1)
      sum += (lossWorth[week] as number) * (values[shift + week] as number);
  }
  return sum * keeping.prices.lowWeek;
}

/** Loss of each block of a plan, breakdowns included: `[block][failed cleanings since a cure]`. */
function curedLosses(
  keeping: Keeping,
  plan: CleanPlan,
  table: CuredTable,
  deepest: number,
): readonly Float64Array[] {
  const { brokenBy } = keeping;
  const every = plan.everyWeeks;
  return Array.from({ length: blocksOf(plan) }, (_, block) => {
    const [start, end] = weeksOf(plan, block);
    const broken = (brokenBy[end] as number) - (brokenBy[start] as number);
    const losses = new Float64Array(Math.min(block, deepest) + 1);
    for (let past = 0; past < losses.length; past += 1)
      losses[past] = broken + blockLoss(keeping, table, start, end, past * every);
    return losses;
  });
}

/**
 * Expected cost from each cleaning on, had that cleaning cured the contact, for each chance of a
 * cure: `[cure][block]`, block k starting at week `k * everyWeeks`.
 */
export function curedValues(
  keeping: Keeping,
  plan: CleanPlan,
  table: GrowingTable,
  cures: readonly Pick<Node, "value">[],
): readonly Float64Array[] {
  const blocks = blocksOf(plan);
  const deepest = Math.max(...cures.map(({ value }) => depthOf(value, blocks)));
  const losses = curedLosses(keeping, plan, table, deepest);
  const over = plan.replaceOver === null ? null : tableOver(table, plan.replaceOver);
  return cures.map(({ value }) => valuesAt(keeping, plan, over, losses, value));
}

/** The same for one chance of a cure, by backward recursion over (block, failed cleanings since). */
function valuesAt(
  keeping: Keeping,
  plan: CleanPlan,
  over: CuredTable | null,
  losses: readonly Float64Array[],
  cure: number,
): Float64Array {
  const every = plan.everyWeeks;
  const blocks = losses.length;
  const deepest = depthOf(cure, blocks);
  const values = new Float64Array(blocks);
  let [later, now] = [new Float64Array(blocks + 2), new Float64Array(blocks + 2)];
  for (let block = blocks - 1; block >= 0; block -= 1) {
    const [, end] = weeksOf(plan, block);
    const row = Math.floor(end / WEEKS_PER_YEAR) * (over?.stride ?? 0);
    const depth = Math.min(block, deepest);
    for (let past = 0; past <= depth; past += 1) {
      const loss = losses[block]?.[past] as number;
      const out = over === null ? 0 : (over.values[row + past * every + every] as number);
      const older = later[Math.min(past + 1, deepest)] as number;
      now[past] =
        end < plan.endWeek
          ? loss + throughCleaning(keeping, end, cure, out, later[0] as number, older)
          : loss + ending(keeping, plan);
    }
    values[block] = now[0] as number;
    [later, now] = [now, later];
  }
  return values;
}

/** A contact that nothing has cured yet: P(low) week by week, and what a low week then costs. */
export interface Uncured {
  readonly low: Float64Array;
  /** [currency per week] */
  readonly lowWeek: number;
  /** Its level now [ln Ω], and what that grows by [per week]. */
  readonly level: number;
  readonly growthPerWeek: number;
  readonly limit: LowLimit;
}

/** P(such a contact is over what the plan replaces) in a week. */
export function uncuredOver({ replaceOver }: CleanPlan, uncured: Uncured, week: number): number {
  const { low, level, growthPerWeek, limit } = uncured;
  if (replaceOver === null) return 0;
  if (replaceOver === limit.logOhms) return low[week] as number;
  return lowChance(level + growthPerWeek * week, { ...limit, logOhms: replaceOver });
}

/** The blocks of a plan while nothing cures the contact. */
export interface UncuredBlocks {
  /** Cost of each, breakdowns included [currency]. */
  readonly losses: Float64Array;
  /** P(replaced | not cured) at the cleaning that begins each. */
  readonly over: Float64Array;
}

/** What each block of a plan costs while nothing cures the contact, and whether it then ends. */
export function uncuredBlocks(keeping: Keeping, plan: CleanPlan, uncured: Uncured): UncuredBlocks {
  const { lossWorth, brokenBy } = keeping;
  const losses = new Float64Array(blocksOf(plan));
  const over = new Float64Array(losses.length);
  for (let block = 0; block < losses.length; block += 1) {
    const [start, end] = weeksOf(plan, block);
    let sum = 0;
    for (let week = start; week < end && uncured.lowWeek > 0; week += 1)
      sum += (lossWorth[week] as number) * (uncured.low[week] as number);
    losses[block] = sum * uncured.lowWeek + (brokenBy[end] as number) - (brokenBy[start] as number);
    over[block] = uncuredOver(plan, uncured, start);
  }
  return { losses, over };
}

/**
 * Expected cost of a plan for a contact at its present level, from its blocks and the values that
 * a cure has.
 *
 * `cleanNow`: the first cleaning is now; otherwise it falls after `everyWeeks`, as for a contact
 * that was cleaned just before and reads what it reads.
 */
export function planCost(
  keeping: Keeping,
  plan: CleanPlan,
  { losses, over }: UncuredBlocks,
  cured: Float64Array,
  cure: number,
  cleanNow: boolean,
): number {
  const through = (block: number, after: number): number => {
    const week = block * plan.everyWeeks;
    const out = over[block] as number;
    return throughCleaning(keeping, week, cure, out, cured[block] as number, after);
  };
  let value = ending(keeping, plan);
  for (let block = losses.length - 1; block >= 0; block -= 1) {
    if (block < losses.length - 1) value = through(block + 1, value);
    value += losses[block] as number;
  }
  return cleanNow ? through(0, value) : value;
}
