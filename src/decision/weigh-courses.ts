import { betaSteps, type Node } from "../numerics/weighted-nodes.ts";
import { leavePlan } from "./best-plan.ts";
import { type CleanPlan, curedValues, planCost, uncuredBlocks } from "./clean-course.ts";
import type { CourseKind } from "./decision.ts";
import {
  atPrices,
  cureNodes,
  FINE,
  growthNodes,
  type Laid,
  levelNodes,
  lowWeekAt,
  uncuredAt,
} from "./keeping.ts";
import { priceNodes, UNITS, type UnitCounts, unitCounts, unitPrices } from "./price-nodes.ts";

export const courseKinds: readonly CourseKind[] = [
  "leave",
  "clean",
  "replace-now",
  "replace-at-age",
];

/** The plans that stand behind the courses; null: that course is no plan of its own. */
export interface Plans {
  readonly clean: CleanPlan;
  readonly atAge: CleanPlan | null;
}

export interface Weighed {
  readonly expected: readonly number[];
  readonly chanceBest: readonly number[];
}

/**
 * Steps in which the chance of a cure is cut to tell which course is cheapest; fewer where prices
 * are uncertain too, each of whose combinations has its own crossing.
 */
const CURE_STEPS = { prices: 50, noPrices: 400 } as const;
/** Costs nearer than this are the same [currency]. */
const TIE = 1e-6;

/** A fine value of the cure chance as a cubic through four coarse nodes. */
interface Between {
  readonly first: number;
  readonly shares: readonly number[];
  readonly weight: number;
}

/** Places fine steps among the coarse nodes, to interpolate costs that are smooth in the chance. */
function placeSteps(steps: readonly Node[], nodes: readonly Node[]): readonly Between[] {
  return steps.map(({ value, weight }) => {
    const right = nodes.findIndex((node) => node.value > value);
    const first = Math.max(0, Math.min(nodes.length - 4, (right < 0 ? nodes.length : right) - 2));
    const four = nodes.slice(first, first + 4).map((node) => node.value);
    const shares = four.map((x, k) =>
      four.reduce(
        (product, other, j) => (j === k ? product : (product * (value - other)) / (x - other)),
        1,
      ),
    );
    return { first, shares, weight };
  });
}

/** What each course costs under each unit of price: `[course][unit][chance of a cure]`. */
type UnitCosts = readonly (readonly (readonly number[])[])[];

/** A course's cost: that of each unit, times how many there are. */
const priced = (counts: UnitCounts, costs: ArrayLike<number>, from = 0): number =>
  counts[0] * (costs[from] as number) +
  counts[1] * (costs[from + 1] as number) +
  counts[2] * (costs[from + 2] as number) +
  counts[3] * (costs[from + 3] as number);

/** Each course's costs by unit at one step of the chance of a cure, one course after the other. */
function atStep(costs: UnitCosts, { first, shares }: Between, into: Float64Array): void {
  for (const [course, byUnit] of costs.entries())
    for (let unit = 0; unit < UNITS; unit += 1) {
      const byCure = byUnit[unit] as readonly number[];
      let cost = 0;
      for (let k = 0; k < 4; k += 1) cost += (shares[k] as number) * (byCure[first + k] as number);
      into[course * UNITS + unit] = cost;
    }
}

/** The course that costs least at one price; of equals the first. */
function cheapestAt(counts: UnitCounts, here: Float64Array): number {
  let best = 0;
  let least = priced(counts, here);
  for (let course = 1; course < courseKinds.length; course += 1) {
    const cost = priced(counts, here, course * UNITS);
    if (cost >= least - TIE) continue;
    best = course;
    least = cost;
  }
  return best;
}

/** Adds to each course's chance the share, of cure chances and prices, in which it costs least. */
function addCheapest(
  chanceBest: number[],
  weight: number,
  costs: UnitCosts,
  steps: readonly Between[],
  prices: ReturnType<typeof priceNodes>,
): void {
  const here = new Float64Array(courseKinds.length * UNITS);
  for (const step of steps) {
    atStep(costs, step, here);
    for (const price of prices)
      chanceBest[cheapestAt(price.counts, here)]! += weight * step.weight * price.weight;
  }
}

/** The units' keeping under one growth, with what a cure is worth in each plan. */
function curedUnits(
  units: readonly Laid[],
  plans: Plans,
  growth: ReturnType<typeof growthNodes>[number],
  cures: readonly Node[],
) {
  return units.map((laid) => ({
    laid,
    clean: curedValues(laid, plans.clean, growth.table, cures),
    atAge: plans.atAge && curedValues(laid, plans.atAge, growth.table, cures),
  }));
}

/** Every course's cost under each unit, at one growth and level, for each chance of a cure. */
function unitCosts(
  units: ReturnType<typeof curedUnits>,
  plans: Plans,
  line: ReturnType<typeof uncuredAt>,
  cures: readonly Node[],
): UnitCosts {
  const byUnit = units.map(({ laid, clean, atAge }) => {
    const own = { ...line, lowWeek: lowWeekAt(laid.prices, line.level) };
    const course = (plan: CleanPlan, cured: readonly Float64Array[]): readonly number[] => {
      const blocks = uncuredBlocks(laid, plan, own);
      return cures.map(({ value }, c) =>
        planCost(laid, plan, blocks, cured[c] as Float64Array, value, true),
      );
    };
    const left = uncuredBlocks(laid, leavePlan(laid), own).losses[0] as number;
    const cleaned = course(plans.clean, clean);
    return [
      cures.map(() => left),
      cleaned,
      cures.map(() => laid.replaceAt[0] as number),
      plans.atAge && atAge ? course(plans.atAge, atAge) : cleaned,
    ];
  });
  return courseKinds.map((_, course) => byUnit.map((courses) => courses[course] ?? []));
}

/**
 * Expected cost of each course at the prices as given, and the chance that it is the cheapest: the
 * sum over what is uncertain (level now, growth, chance of a cure, labour, meets, what a lost lane
 * costs and how often a low path loses it) of the weight with which each course costs least, its
 * plan held as it is. Horizon and discount rate are chosen, not uncertain. A tie goes to the earlier
 * course, the one that does less.
 */
export function weighCourses(laid: Laid, plans: Plans): Weighed {
  const { subject, costs } = laid;
  const levels = levelNodes(subject, FINE);
  const cures = cureNodes(laid, FINE.cure);
  const prices = priceNodes(subject, costs);
  const count = prices.length > 1 ? CURE_STEPS.prices : CURE_STEPS.noPrices;
  const steps = placeSteps(betaSteps(subject.cure.alpha, subject.cure.beta, count), cures);
  const units = unitPrices(subject, costs).map((each) => atPrices(laid, each));
  const given = unitCounts(subject, costs);
  const expected = courseKinds.map(() => 0);
  const chanceBest = courseKinds.map(() => 0);
  for (const growth of growthNodes(laid, FINE.growth)) {
    const cured = curedUnits(units, plans, growth, cures);
    for (const level of levels) {
      const line = uncuredAt(laid, level.value, growth.value);
      const weight = level.weight * growth.weight;
      const byCourse = unitCosts(cured, plans, line, cures);
      for (const [k, byUnit] of byCourse.entries())
        for (const [c, cure] of cures.entries())
          expected[k]! +=
            weight *
            cure.weight *
            priced(
              given,
              byUnit.map((each) => each[c] as number),
            );
      addCheapest(chanceBest, weight, byCourse, steps, prices);
    }
  }
  return { expected, chanceBest };
}
