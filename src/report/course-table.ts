import { isStep } from "../domain/courses.ts";
import { NO_CURRENCY } from "../domain/currency.ts";
import type { Decision } from "../domain/decision.ts";
import type { Words } from "../words/words.ts";
import { tableText } from "./text-table.ts";

/** What each course of one decision costs, the best one marked. */
export function courseTable(
  decision: Decision,
  currency: string,
  { decide, figures }: Words,
): readonly string[] {
  const rows = decision.courses.map(({ kind, presentCost, chanceBest }) => [
    `${kind === decision.action ? ">" : " "} ${decide.courses[kind]}`,
    figures.money(presentCost, NO_CURRENCY),
    isStep(kind) ? figures.percent(chanceBest) : "",
  ]);
  return tableText(decide.heads(currency), rows, ["left", "right", "right"]);
}
