import { type CleanPlan, uncuredOver } from "./clean-course.ts";
import type { CourseKind } from "./decision.ts";
import { COARSE, cureNodes, growthNodes, type Laid, levelNodes, uncuredAt } from "./keeping.ts";
import { lowChance } from "./low-chance.ts";
import { meetsPerWeek } from "./prices.ts";

/** P(a meet before the next check loses the lane) at a chance per meet; meets come at random. */
function lostByNextCheck(laid: Laid, chancePerMeet: number): number {
  const meets = meetsPerWeek(laid.costs) * laid.costs.checkWeeks;
  return -Math.expm1(-meets * Math.min(1, laid.subject.lanes) * chancePerMeet);
}

/**
 * P(the lane is lost in a meet before the next check) under each course, its first step done.
 * The level of the first week stands for the whole gap.
 */
export function nextCheckRisks(laid: Laid, plan: CleanPlan): Readonly<Record<CourseKind, number>> {
  const { lossChance } = laid.subject;
  const fresh = lostByNextCheck(laid, lossChance * laid.fresh.lowAtFirst);
  let leave = 0;
  let clean = 0;
  const cures = cureNodes(laid, COARSE.cure);
  const cured = growthNodes(laid, 1).map((growth) => growth.table.values[0] ?? 0)[0] ?? 0;
  for (const level of levelNodes(laid.subject, COARSE)) {
    const open = level.value === Number.POSITIVE_INFINITY;
    const low = lowChance(level.value, laid.limit);
    const asIs = lostByNextCheck(laid, open ? 1 : lossChance * low);
    const over = uncuredOver(plan, uncuredAt(laid, level.value, 0), 0);
    leave += level.weight * asIs;
    for (const cure of cures) {
      const uncured = over * fresh + (1 - over) * asIs;
      const afterwards =
        cure.value * lostByNextCheck(laid, lossChance * cured) + (1 - cure.value) * uncured;
      clean += level.weight * cure.weight * afterwards;
    }
  }
  return { leave, clean, "replace-now": fresh, "replace-at-age": clean };
}
