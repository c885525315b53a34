import type { Course, Decision } from "../analyze.ts";
import type { Pool } from "../domain/pool.ts";
import { courseNames } from "../report/course-table.ts";
import { decisionWords } from "../report/decide-text.ts";
import { lastPointOf } from "../report/limit-text.ts";
import { assumedLoadNote } from "../report/unknown-load.ts";
import { h } from "./element.ts";
import { chanceWords, moneyWords } from "./numbers.ts";

const courseName = ({ kind, replaceIfLow }: Course): string =>
  `${courseNames[kind]}${replaceIfLow ? ", or replace it if that fails" : ""}`;

/** Clean or replace for one suspect: the preferred course, where it turns, what each costs. */
export function decisionBox(pool: Pool, decision: Decision, currency: string): HTMLElement {
  const last = lastPointOf(pool, decision.place);
  const rows = decision.courses.map((course) =>
    h(
      "tr",
      {},
      h(
        "th",
        { scope: "row" },
        `${courseName(course)}${course.kind === decision.preferred ? " (best)" : ""}`,
      ),
      h("td", {}, moneyWords(course.presentCost, currency)),
      h("td", {}, moneyWords(course.annualCost, currency)),
      h("td", {}, chanceWords(course.chanceBest)),
    ),
  );
  const heads = ["course", "present cost", "a year", "chance best"];
  return h(
    "div",
    { class: "decision" },
    h("h3", {}, "Clean or replace"),
    h("p", {}, decisionWords(decision, last, currency)),
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
