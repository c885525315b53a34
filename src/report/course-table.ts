import type { Action, Decision } from "../policy/decision.ts";
import { moneyText, percentText } from "./names.ts";
import { tableText } from "./text-table.ts";

export const courseNames: Readonly<Record<Action, string>> = {
  wait: "wait for the next walk",
  "read-again": "read it again",
  clean: "clean it and read",
  replace: "replace it",
};

/** What each course of one decision costs, the best one marked. */
export function courseTable(decision: Decision, currency: string): readonly string[] {
  const unit = currency === "XXX" ? "" : ` [${currency}]`;
  const rows = decision.courses.map(({ kind, presentCost, chanceBest }) => [
    `${kind === decision.action ? ">" : " "} ${courseNames[kind]}`,
    moneyText(presentCost, "XXX"),
    kind === "read-again" ? "" : percentText(chanceBest),
  ]);
  const heads = ["  now", `present\ncost${unit}`, "chance\nbest"];
  return tableText(heads, rows, ["left", "right", "right"]);
}
