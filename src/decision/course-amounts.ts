import type { CleanPlan } from "./clean-course.ts";
import {
  cureNodes,
  type Fineness,
  growthNodes,
  type Laid,
  levelNodes,
  uncuredAt,
} from "./keeping.ts";
import type { CuredTable } from "./low-chance.ts";
import { WEEKS_PER_YEAR } from "./week-grid.ts";

/**
 * What a course is expected to take, week by week, in numbers of things: prices come later, so that
 * another price needs no new reckoning. The forward twin of clean-course.ts.
 */
export interface Amounts {
  readonly cleanings: Float64Array;
  /** Planned and after breakdowns. */
  readonly replacements: Float64Array;
  /** P(the path reads low because of this connector, not being open). */
  readonly low: Float64Array;
  /** P(it is open). */
  readonly open: Float64Array;
  readonly breakdowns: Float64Array;
}

const emptyAmounts = (weeks: number): Amounts => ({
  cleanings: new Float64Array(weeks),
  replacements: new Float64Array(weeks),
  low: new Float64Array(weeks),
  open: new Float64Array(weeks),
  breakdowns: new Float64Array(weeks),
});

/** A contact that nothing has cured yet: its share, and where it stands. */
interface Line {
  share: number;
  readonly low: Float64Array;
  readonly open: boolean;
}

/** Shares of the installed connector by what became of its contact, under one growth and cure. */
class Standing {
  /** By failed cleanings since the last cure. */
  readonly cured: number[] = [];
  readonly lines: readonly Line[];
  readonly table: CuredTable;
  readonly cure: number;

  constructor(lines: readonly Line[], table: CuredTable, cure: number) {
    this.lines = lines;
    this.table = table;
    this.cure = cure;
  }

  total(): number {
    const cured = this.cured.reduce((sum, share) => sum + share, 0);
    return this.lines.reduce((sum, line) => sum + line.share, cured);
  }

  lowCured(week: number, past: number, weeksSince: number, every: number): number {
    const row = Math.floor(week / WEEKS_PER_YEAR) * this.table.stride;
    return this.table.values[row + past * every + weeksSince] as number;
  }

  /** A cleaning; returns the share that is replaced because it still reads low. */
  clean(week: number, plan: CleanPlan): number {
    const missed = 1 - this.cure;
    let healed = 0;
    let replaced = 0;
    const aged = this.cured.map((share, past) => {
      const low = this.lowCured(week, past, plan.everyWeeks, plan.everyWeeks);
      const out = plan.replaceIfLow ? share * missed * low : 0;
      healed += share * this.cure;
      replaced += out;
      return share * missed - out;
    });
    for (const line of this.lines) {
      const out = plan.replaceIfLow ? line.share * missed * (line.low[week] as number) : 0;
      healed += line.share * this.cure;
      replaced += out;
      line.share = line.share * missed - out;
    }
    this.cured.splice(0, this.cured.length, healed, ...aged);
    // The last of a long run of failures is too rare to tell from the one before.
    if (this.cured.length > DEEPEST) this.cured[DEEPEST - 1]! += this.cured.pop() ?? 0;
    return replaced;
  }
}

/** Failed cleanings in a row that are told apart. */
const DEEPEST = 40;

/** One growth and cure, run forward; fills `amounts` and the weeks of `fitted`, by `weight`. */
function runForward(
  laid: Laid,
  plan: CleanPlan,
  standing: Standing,
  weight: number,
  cleanNow: boolean,
  amounts: Amounts,
  fitted: Float64Array,
): void {
  const { alive } = laid;
  for (let week = 0; week < plan.endWeek; week += 1) {
    const stays = alive[week] as number;
    const offset = week % plan.everyWeeks;
    if (offset === 0 && (week > 0 || cleanNow)) {
      amounts.cleanings[week]! += weight * stays * standing.total();
      fitted[week]! += weight * stays * standing.clean(week, plan);
    }
    let low = 0;
    for (const [past, share] of standing.cured.entries())
      low += share * standing.lowCured(week, past, offset, plan.everyWeeks);
    for (const line of standing.lines) {
      if (line.open) amounts.open[week]! += weight * stays * line.share;
      else low += line.share * (line.low[week] as number);
    }
    amounts.low[week]! += weight * stays * low;
    const gone = weight * (stays - (alive[week + 1] as number)) * standing.total();
    amounts.breakdowns[week]! += gone;
    fitted[week + 1]! += gone;
  }
  if (plan.endWeek < laid.grid.weeks)
    fitted[plan.endWeek]! += weight * (alive[plan.endWeek] as number) * standing.total();
}

/** Adds the connectors fitted in each week, and all that follows each of them. */
function addFitted(laid: Laid, fitted: Float64Array, amounts: Amounts): void {
  const { fresh, grid } = laid;
  for (let start = 0; start < grid.weeks; start += 1) {
    const share = fitted[start] as number;
    if (share < 1e-12) continue;
    amounts.replacements[start]! += share;
    for (let week = start; week < grid.weeks; week += 1) {
      const age = week - start;
      amounts.cleanings[week]! += share * (fresh.cleanings[age] as number);
      amounts.replacements[week]! += share * (fresh.replacements[age] as number);
      amounts.low[week]! += share * (fresh.low[age] as number);
      amounts.breakdowns[week]! += share * (fresh.breakdowns[age] as number);
    }
  }
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
      low: uncuredAt(laid, level.value, growth.value).low,
      open: level.value === Number.POSITIVE_INFINITY,
    }));
    for (const cure of cureNodes(laid, fineness.cure)) {
      const own = lines.map((line) => ({ ...line }));
      const standing = new Standing(own, growth.table, cure.value);
      const weight = growth.weight * cure.weight;
      runForward(laid, plan, standing, weight, cleanNow, amounts, fitted);
    }
  }
  addFitted(laid, fitted, amounts);
  return amounts;
}

/** Expected amounts of replacing now. */
export function replacingAmounts(laid: Laid): Amounts {
  const amounts = emptyAmounts(laid.grid.weeks);
  const fitted = new Float64Array(laid.grid.weeks + 1);
  fitted[0] = 1;
  addFitted(laid, fitted, amounts);
  return amounts;
}
