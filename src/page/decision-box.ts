import { isStep } from "../domain/courses.ts";
import type { Pool } from "../domain/pool.ts";
import { courseNames, decisionWords } from "../report/decision-words.ts";
import { assumedLoadNote } from "../report/unknown-load.ts";
import type { Decision } from "../rooms/policy-room.ts";
import { h } from "./element.ts";
import { chanceWords, moneyWords } from "./numbers.ts";

/** " (best)"; a look comes first, whatever it costs. */
const markOf = (kind: Decision["action"], { action }: Decision): string =>
  kind !== action ? "" : kind === "look" ? " (first)" : " (best)";

/** What to do about one suspect: the best course, the rule it follows, what each costs. */
export function decisionBox(pool: Pool, decision: Decision, currency: string): HTMLElement {
  const rows = decision.courses.map(({ kind, presentCost, chanceBest }) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, `${courseNames[kind]}${markOf(kind, decision)}`),
      h("td", {}, moneyWords(presentCost, currency)),
      h("td", {}, isStep(kind) ? chanceWords(chanceBest) : ""),
    ),
  );
  const heads = ["now", "present cost", "chance best"];
  return h(
    "div",
    { class: "decision" },
    h("h3", {}, "What to do"),
    h("p", {}, decisionWords(decision, currency)),
    ...assumedLoadNote(pool).map((note) => h("p", {}, note)),
    h(
      "div",
      { class: "wide", tabindex: "0", role: "region", "aria-label": "What each course costs" },
      h(
        "table",
        {},
        h("thead", {}, h("tr", {}, ...heads.map((head) => h("th", { scope: "col" }, head)))),
        h("tbody", {}, ...rows),
      ),
    ),
  );
}
