import type { Action, Decision } from "../policy/decision.ts";
import { moneyText, percentText } from "./names.ts";
import { tableText } from "./text-table.ts";

export const courseNames: Readonly<Record<Action, string>> = {
  look: "look for the break",
  wait: "wait for the next walk",
  "read-again": "read it again",
  clean: "clean it and read",
  replace: "replace it",
};

/** Reading again and looking lead to a step; by themselves they are never the cheapest. */
export const isStep = (kind: Action): boolean => kind !== "look" && kind !== "read-again";

/** What each course of one decision costs, the best one marked. */
export function courseTable(decision: Decision, currency: string): readonly string[] {
  const unit = currency === "XXX" ? "" : ` [${currency}]`;
  const rows = decision.courses.map(({ kind, presentCost, chanceBest }) => [
    `${kind === decision.action ? ">" : " "} ${courseNames[kind]}`,
    moneyText(presentCost, "XXX"),
    isStep(kind) ? percentText(chanceBest) : "",
  ]);
  const heads = ["  now", `present\ncost${unit}`, "chance\nbest"];
  return tableText(heads, rows, ["left", "right", "right"]);
}
