import { WEEKS_PER_YEAR } from "../policy/week-grid.ts";
import { type Amounts, addAmounts, addFitted, emptyAmounts } from "./amounts.ts";
import { type CleanPlan, type Uncured, uncuredOver } from "./clean-course.ts";
import {
  cureNodes,
  type Fineness,
  growthNodes,
  type Laid,
  levelNodes,
  uncuredAt,
} from "./keeping.ts";
import { type CuredTable, tableOver } from "./low-chance.ts";

/**
 * The forward twin of clean-course.ts: what a plan is expected to take, week by week.
 */

/** A contact that nothing has cured yet: its share, and where it stands. */
interface Line {
  share: number;
  readonly own: Uncured;
  readonly open: boolean;
}

/** Failed cleanings in a row that are told apart. */
const DEEPEST = 40;

/** Shares of the installed connector by what became of its contact, under one growth and cure. */
interface Standing {
  /** By failed cleanings since the last cure; the last entry holds all longer runs. */
  readonly cured: Float64Array;
  readonly lines: readonly Line[];
  readonly table: CuredTable;
  /** P(over what the plan replaces), as `table` is P(low); null: it replaces nothing. */
  readonly over: CuredTable | null;
  readonly cure: number;
}

function standing(
  lines: readonly Line[],
  { table, over, cure }: Pick<Standing, "table" | "over" | "cure">,
): Standing {
  const own = lines.map((line) => ({ ...line }));
  return { cured: new Float64Array(DEEPEST), lines: own, table, over, cure };
}

function total({ cured, lines }: Standing): number {
  let sum = 0;
  for (let past = 0; past < DEEPEST; past += 1) sum += cured[past] as number;
  for (const line of lines) sum += line.share;
  return sum;
}

/** A cleaning; returns the share that is replaced because it is still over the plan's level. */
function cleanAll(now: Standing, week: number, plan: CleanPlan): number {
  const { cured, over, cure, lines } = now;
  const missed = 1 - cure;
  const row = Math.floor(week / WEEKS_PER_YEAR) * (over?.stride ?? 0);
  let healed = 0;
  let replaced = 0;
  const goesOn = (share: number, chance: number): number => {
    const out = share * missed * chance;
    healed += share * cure;
    replaced += out;
    return share * missed - out;
  };
  let aged = 0;
  for (let past = 0; past < DEEPEST; past += 1) {
    const share = cured[past] as number;
    const at = row + (past + 1) * plan.everyWeeks;
    const onward = goesOn(share, share > 0 && over !== null ? (over.values[at] as number) : 0);
    cured[past] = past === DEEPEST - 1 ? aged + onward : aged;
    aged = onward;
  }
  for (const line of lines) line.share = goesOn(line.share, uncuredOver(plan, line.own, week));
  cured[0] = healed;
  return replaced;
}

/** P(low), open contacts left out, `offset` weeks after the last cleaning. */
function lowNow(now: Standing, week: number, offset: number, every: number): number {
  const { cured, table, lines } = now;
  const row = Math.floor(week / WEEKS_PER_YEAR) * table.stride + offset;
  let low = 0;
  for (let past = 0; past < DEEPEST; past += 1) {
    const share = cured[past] as number;
    if (share > 0) low += share * (table.values[row + past * every] as number);
  }
  for (const line of lines) if (!line.open) low += line.share * (line.own.low[week] as number);
  return low;
}

/** One growth and cure, run forward; fills `amounts` and the weeks of `fitted`, by `weight`. */
function runForward(
  laid: Laid,
  plan: CleanPlan,
  now: Standing,
  weight: number,
  cleanNow: boolean,
  amounts: Amounts,
  fitted: Float64Array,
): void {
  const { alive } = laid;
  let same = total(now);
  for (let week = 0; week < plan.endWeek; week += 1) {
    const stays = weight * (alive[week] as number);
    const offset = week % plan.everyWeeks;
    if (offset === 0 && (week > 0 || cleanNow)) {
      amounts.cleanings[week]! += stays * same;
      const replaced = cleanAll(now, week, plan);
      fitted[week]! += stays * replaced;
      same -= replaced;
    }
    amounts.low[week]! += stays * lowNow(now, week, offset, plan.everyWeeks);
    for (const line of now.lines) if (line.open) amounts.open[week]! += stays * line.share;
    amounts.breakdowns[week]! += (stays - weight * (alive[week + 1] as number)) * same;
  }
  if (plan.endWeek < laid.grid.weeks)
    fitted[plan.endWeek]! += weight * (alive[plan.endWeek] as number) * same;
}

/** Expected amounts of keeping what is installed by a plan. */
export function keepingAmounts(
  laid: Laid,
  plan: CleanPlan,
  cleanNow: boolean,
  fineness: Fineness,
): Amounts {
  const amounts = emptyAmounts(laid.grid.weeks);
  const fitted = new Float64Array(laid.grid.weeks + 1);
  const levels = levelNodes(laid.subject, fineness);
  for (const growth of growthNodes(laid, fineness.growth)) {
    const lines = levels.map((level) => ({
      share: level.weight,
      own: uncuredAt(laid, level.value, growth.value),
      open: level.value === Number.POSITIVE_INFINITY,
    }));
    const { table } = growth;
    const over = plan.replaceOver === null ? null : tableOver(table, plan.replaceOver);
    for (const cure of cureNodes(laid, fineness.cure)) {
      const now = standing(lines, { table, over, cure: cure.value });
      runForward(laid, plan, now, growth.weight * cure.weight, cleanNow, amounts, fitted);
    }
  }
  if (plan.replaceOver === null && plan.endWeek === laid.grid.weeks) {
    // Only breakdowns end it, whatever its contact does: the same for all of one kind and age.
    addAmounts(amounts, laid.afterBreakdowns());
    return amounts;
  }
  for (let week = 0; week < laid.grid.weeks; week += 1)
    fitted[week + 1]! += amounts.breakdowns[week] as number;
  addFitted(laid.fresh, fitted, amounts);
  return amounts;
}

/** Expected amounts of replacing now. */
export function replacingAmounts(laid: Laid): Amounts {
  const amounts = emptyAmounts(laid.grid.weeks);
  addFitted(laid.fresh, Float64Array.of(1, ...new Array(laid.grid.weeks).fill(0)), amounts);
  return amounts;
}
