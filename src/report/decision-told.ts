import { courses, isStep } from "../domain/courses.ts";
import type { Decision } from "../domain/decision.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkStep } from "../domain/work.ts";
import type { Words } from "../words/words.ts";
import { mayLiftPad } from "./pad-lift.ts";

/**
 * One decision as instructions, its rule, and why a cleaning is no longer thought to help. A break has
 * no rule: it goes by volts of what conducts.
 */
export function instructions(decision: Decision, currency: string, { decide }: Words): string {
  const rule = decision.action === "look" ? [] : [decide.rule(decision)];
  const metal = decision.stillLowAfterCleaning ? [decide.metal] : [];
  return [decide.act(decision, currency), ...rule, ...metal].join(" ");
}

/** Costs nearer than this part are nearly the same. */
const NEARLY = 0.02;

/** "; to clean it and read costs nearly the same": how sure counts little then. */
export function nearlyTold(
  { courses, action, presentCost }: Pick<Decision, "courses" | "action" | "presentCost">,
  { decide }: Words,
): string {
  if (action === "look") return "";
  const others = courses.filter(
    (each) =>
      each.kind !== action &&
      isStep(each.kind) &&
      each.presentCost - presentCost < NEARLY * presentCost,
  );
  return others.length === 0 ? "" : decide.nearly(others.map(({ kind }) => kind));
}

/** Whether a connector is opened in it. */
const opens = (work: readonly WorkStep[]): boolean => work.some((step) => step !== "measure");

/** The work that a decision may lead to, with what comes in its way. */
export function stepsOf(pool: Pool, decision: Decision): readonly WorkStep[] {
  const lift: readonly WorkStep[] = mayLiftPad(pool, decision.place) ? ["lift-pads"] : [];
  const work: readonly WorkStep[] = courses[decision.action].work;
  return opens(work) ? [...work, ...lift] : work;
}
