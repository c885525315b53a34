import { latticeAt } from "../numerics/lattice.ts";
import { normalQuantile } from "../numerics/normal.ts";
import { type Assumption, assumptionsOf } from "./assumptions.ts";
import type { SensitivityEnd, SensitivityRow } from "./memo-options.ts";
import {
  type CourseRatios,
  courseRatios,
  followedAt,
  type OptionsBase,
  type Parts,
  partKeys,
  partsAt,
  roughWeeks,
  wholeOf,
} from "./option-parts.ts";

/**
 * The options under other assumptions: each moved alone to the ends of its range, and all of them
 * jointly. Prices are reckoned anew; figures of the course change the parts of each option by a ratio
 * that was followed at the ends, ratios of several figures multiplying (an approximation: what growth
 * and the chance of a cure do together is not followed).
 *
 * Jointly: a figure's value is its median, its ends are its 5 % and 95 % points, log-normal on either
 * side where it cannot be 0, independent of the others; the mean over the points of a lattice.
 */
export class MovedAssumptions {
  private readonly base: OptionsBase;
  private readonly assumptions: readonly Assumption[];
  private readonly ratios: readonly (CourseRatios | null)[];

  constructor(base: OptionsBase) {
    this.base = base;
    this.assumptions = assumptionsOf(base.costs);
    const unmoved = {
      finely: this.unmoved(),
      roughly: followedAt(base, base.groups, roughWeeks(base.costs), true),
    };
    this.ratios = this.assumptions.map((each) => courseRatios(base, each, unmoved));
  }

  /** Parts of each option as assumed. */
  unmoved(): readonly Parts[] {
    return partsAt(this.base, this.base.costs);
  }

  /** Life-cycle cost of each option at scores: standard normal deviates, one an assumption. */
  private costsAt(scores: Float64Array): readonly number[] {
    let { costs } = this.base;
    let change = (group: OptionsBase["groups"][number]) => group;
    for (const [k, assumption] of this.assumptions.entries()) {
      const { moves } = assumption;
      if (moves.what !== "price" || scores[k] === 0) continue;
      const value = valueAt(assumption, scores[k]!);
      costs = moves.costs(costs, value);
      const [before, own] = [change, moves.groups];
      if (own !== undefined) change = (group) => own(before(group), value);
    }
    return partsAt(this.base, costs, change).map((parts, option) =>
      partKeys.reduce((sum, key) => {
        let part = parts[key];
        for (const [k, ratios] of this.ratios.entries())
          if (ratios !== null) part *= ratioAt(ratios, option, key, scores[k]!);
        return sum + part;
      }, 0),
    );
  }

  /** P(each option costs less than the plan, which stands first), all assumptions moving jointly. */
  chancesToSave(): readonly number[] {
    const wins = this.base.choices.map(() => 0);
    const scores = new Float64Array(this.assumptions.length);
    for (let n = 0; n < POINTS; n++) {
      for (let k = 0; k < scores.length; k++) scores[k] = normalQuantile(latticeAt(n, k));
      const costs = this.costsAt(scores);
      for (let option = 0; option < costs.length; option++)
        if (costs[option]! < costs[0]!) wins[option]! += 1 / POINTS;
    }
    return wins;
  }

  /** Each assumption alone; the widest swing of the followed option's net savings first. */
  oneByOne(followed: number): readonly SensitivityRow[] {
    const { choices } = this.base;
    const leastOf = (costs: readonly number[]): string =>
      choices[costs.indexOf(Math.min(...costs))]!.id;
    const usual = leastOf(this.unmoved().map(wholeOf));
    const rows = this.assumptions.map(({ name, unit, value, low, high }, k): SensitivityRow => {
      const end = (at: number, score: number): SensitivityEnd => {
        const scores = new Float64Array(this.assumptions.length);
        scores[k] = at === value ? 0 : score;
        const costs = this.costsAt(scores);
        return {
          value: at,
          lifeCycleCosts: costs,
          netSavings: costs[0]! - costs[followed]!,
          best: leastOf(costs),
        };
      };
      const ends = { low: end(low, -EDGE), high: end(high, EDGE) };
      const changesRanking = ends.low.best !== usual || ends.high.best !== usual;
      return { assumption: name, unit, base: value, ...ends, changesRanking };
    });
    const swing = ({ low, high }: SensitivityRow): number =>
      Math.abs(high.netSavings - low.netSavings);
    return rows.sort((one, other) => swing(other) - swing(one));
  }
}

/** Points of the lattice. */
const POINTS = 256;

/** Standard deviations from the median to an end of a range. */
const EDGE = normalQuantile(0.95);

/** Value of an assumption at a score: by way of its ends, in logarithms where it is never 0. */
function valueAt({ value, low, high, least, most }: Assumption, score: number): number {
  const end = score < 0 ? low : high;
  const share = Math.abs(score) / EDGE;
  const at = low > 0 ? value * (end / value) ** share : value + (end - value) * share;
  return Math.min(most, Math.max(least, at));
}

/** How one part of an option changes at a score: by way of the ends, in logarithms. */
const ratioAt = (
  { low, high }: CourseRatios,
  option: number,
  key: (typeof partKeys)[number],
  score: number,
): number => (score < 0 ? low : high)[option]![key] ** (Math.abs(score) / EDGE);
