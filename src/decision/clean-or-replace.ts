import type { Costs } from "../domain/costs.ts";
import { annualValue } from "../economics/life-cycle.ts";
import { WEEKS_PER_YEAR } from "../policy/week-grid.ts";
import { bestCleaning, bestReplacement } from "./best-plan.ts";
import { breakEvenReading, breakEvenWeeks, turningPlan } from "./break-even.ts";
import { type ConnectorCase, readingAt } from "./connector-case.ts";
import type { Course, CourseKind, Decision } from "./decision.ts";
import { emptyMemory, type KindMemory, type Laid, layOut } from "./keeping.ts";
import { nextCheckRisks } from "./next-check.ts";
import { courseKinds, type Plans, type Weighed, weighCourses } from "./weigh-courses.ts";

function coursesOf(laid: Laid, plans: Plans, weighed: Weighed): readonly Course[] {
  const risks = nextCheckRisks(laid, plans.clean);
  const interval = plans.clean.everyWeeks < laid.grid.weeks ? plans.clean.everyWeeks : null;
  const over = plans.clean.replaceOver;
  const under = over === null ? null : readingAt(laid.subject.path, Math.exp(over));
  const cleans = (kind: CourseKind): boolean => kind === "clean" || kind === "replace-at-age";
  const at = (list: readonly number[], index: number): number => list[index] as number;
  return courseKinds.map((kind, index) => ({
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
  const courses = coursesOf(laid, plans, weighCourses(laid, plans));
  const preferred = courses.reduce((best, course) =>
    course.presentCost < best.presentCost ? course : best,
  );
  return {
    place: subject.place,
    atFault: subject.atFault,
    open: subject.state.open,
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
