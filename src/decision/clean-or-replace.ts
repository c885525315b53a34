import type { Costs } from "../domain/costs.ts";
import { bestCleaning, bestReplacement, leavePlan } from "./best-plan.ts";
import { breakEvenReading, breakEvenWeeks, turningPlan } from "./break-even.ts";
import { type CleanPlan, curedValues, planCost, uncuredBlocks } from "./clean-course.ts";
import { type ConnectorCase, readingAt } from "./connector-case.ts";
import type { Course, CourseKind, Decision } from "./decision.ts";
import {
  cureNodes,
  emptyMemory,
  FINE,
  growthNodes,
  type KindMemory,
  type Laid,
  layOut,
  levelNodes,
  uncuredAt,
} from "./keeping.ts";
import { annualValue } from "./life-cycle.ts";
import { nextCheckRisks } from "./next-check.ts";
import { WEEKS_PER_YEAR } from "./week-grid.ts";
import { betaSteps, type Node } from "./weighted-nodes.ts";

const kinds: readonly CourseKind[] = ["leave", "clean", "replace-now", "replace-at-age"];

/** The plans that stand behind the courses; null: that course is no plan of its own. */
interface Plans {
  readonly clean: CleanPlan;
  readonly atAge: CleanPlan | null;
}

interface Weighed {
  readonly expected: readonly number[];
  readonly chanceBest: readonly number[];
}

/** Steps in which the chance of a cure is cut to tell which course is cheapest. */
const CURE_STEPS = 400;
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

/** Adds to each course's chance the share of the cure distribution over which it costs least. */
function addCheapest(
  chanceBest: number[],
  weight: number,
  costs: readonly (readonly number[])[],
  steps: readonly Between[],
): void {
  for (const { first, shares, weight: step } of steps) {
    let best = 0;
    let least = Number.POSITIVE_INFINITY;
    for (const [course, byCure] of costs.entries()) {
      let cost = 0;
      for (let k = 0; k < 4; k += 1) cost += (shares[k] as number) * (byCure[first + k] as number);
      if (cost < least - TIE) [best, least] = [course, cost];
    }
    chanceBest[best]! += weight * step;
  }
}

/**
 * Expected cost of each course, and the chance that it is the cheapest: the sum over what is
 * uncertain (level now, growth, chance of a cure) of the weight with which each course costs least.
 * A tie goes to the earlier course, the one that does less.
 */
function weigh(laid: Laid, plans: Plans): Weighed {
  const { cure } = laid.subject;
  const levels = levelNodes(laid.subject, FINE);
  const cures = cureNodes(laid, FINE.cure);
  const steps = placeSteps(betaSteps(cure.alpha, cure.beta, CURE_STEPS), cures);
  const leave = leavePlan(laid);
  const now = laid.replaceAt[0] as number;
  const expected = kinds.map(() => 0);
  const chanceBest = kinds.map(() => 0);
  for (const growth of growthNodes(laid, FINE.growth)) {
    const byCure = (plan: CleanPlan) => curedValues(laid, plan, growth.table, cures);
    const cleanCured = byCure(plans.clean);
    const ageCured = plans.atAge && byCure(plans.atAge);
    for (const level of levels) {
      const line = uncuredAt(laid, level.value, growth.value);
      const weight = level.weight * growth.weight;
      const course = (plan: CleanPlan, cured: readonly Float64Array[]): readonly number[] => {
        const blocks = uncuredBlocks(laid, plan, line);
        return cures.map(({ value }, c) =>
          planCost(laid, plan, blocks, cured[c] as Float64Array, value, true),
        );
      };
      const left = uncuredBlocks(laid, leave, line).losses[0] as number;
      const clean = course(plans.clean, cleanCured);
      const atAge = plans.atAge && ageCured ? course(plans.atAge, ageCured) : clean;
      const costs = [cures.map(() => left), clean, cures.map(() => now), atAge];
      for (const [k, amounts] of costs.entries())
        for (const [c, amount] of amounts.entries())
          expected[k]! += weight * (cures[c]?.weight ?? 0) * amount;
      addCheapest(chanceBest, weight, costs, steps);
    }
  }
  return { expected, chanceBest };
}

function coursesOf(laid: Laid, plans: Plans, weighed: Weighed): readonly Course[] {
  const risks = nextCheckRisks(laid, plans.clean);
  const interval = plans.clean.everyWeeks < laid.grid.weeks ? plans.clean.everyWeeks : null;
  const over = plans.clean.replaceOver;
  const under = over === null ? null : readingAt(laid.subject.path, Math.exp(over));
  const cleans = (kind: CourseKind): boolean => kind === "clean" || kind === "replace-at-age";
  const at = (list: readonly number[], index: number): number => list[index] as number;
  return kinds.map((kind, index) => ({
    kind,
    everyWeeks: cleans(kind) ? interval : null,
    replaceIfLow: cleans(kind) && under !== null,
    replaceUnderVolts: cleans(kind) ? under : null,
    replaceInWeeks:
      kind === "replace-now"
        ? 0
        : kind === "replace-at-age"
          ? (plans.atAge?.endWeek ?? null)
          : null,
    presentCost: at(weighed.expected, index),
    annualCost: annualValue(at(weighed.expected, index), laid.grid.study),
    chanceBest: at(weighed.chanceBest, index),
    failsBeforeNextCheck: risks[kind],
  }));
}

/** The best course for one connector, how sure that is, and where it turns. */
export function cleanOrReplace(
  subject: ConnectorCase,
  costs: Costs,
  memory: KindMemory = emptyMemory(),
): Decision {
  const laid = layOut(subject, costs, memory);
  const clean = turningPlan(laid, bestCleaning(laid));
  const plans: Plans = { clean, atAge: bestReplacement(laid, clean) };
  const courses = coursesOf(laid, plans, weigh(laid, plans));
  const preferred = courses.reduce((best, course) =>
    course.presentCost < best.presentCost ? course : best,
  );
  return {
    place: subject.place,
    atFault: subject.atFault,
    film: subject.cure.alpha / (subject.cure.alpha + subject.cure.beta),
    weeksHeld: subject.weeksHeld,
    courses,
    preferred: preferred.kind,
    chanceBest: preferred.chanceBest,
    cleanMinutes: subject.costs.cleanMinutes,
    replaceMinutes: subject.costs.replaceMinutes,
    cleanCost: laid.prices.clean,
    replaceCost: laid.prices.replace,
    breakEvenReading: breakEvenReading(laid, clean),
    breakEvenWeeks: breakEvenWeeks(laid, clean),
    bestAgeYears: laid.fresh.ageWeeks === null ? null : laid.fresh.ageWeeks / WEEKS_PER_YEAR,
    stillLowAfterCleaning: subject.stillLowAfterCleaning,
  };
}
