import type { Course, CourseKind, Decision } from "../decision/decision.ts";
import { moneyText, percentText, weeksText } from "./names.ts";
import { tableText } from "./text-table.ts";

const courseNames: Readonly<Record<CourseKind, string>> = {
  leave: "leave it",
  clean: "clean it",
  "replace-now": "replace it now",
  "replace-at-age": "replace it later",
};

/** "clean it every 13 weeks". */
function courseName(course: Course): string {
  const name = courseNames[course.kind];
  switch (course.kind) {
    case "clean":
      return course.everyWeeks === null
        ? "clean it once"
        : `${name} every ${weeksText(course.everyWeeks)}`;
    case "replace-at-age":
      return course.replaceInWeeks === null
        ? `${name}: no better`
        : `replace it in ${weeksText(course.replaceInWeeks)}`;
    default:
      return name;
  }
}

/** What each course of one decision costs and risks, the preferred one marked. */
export function courseTable(decision: Decision, currency: string): readonly string[] {
  const unit = currency === "XXX" ? "" : ` [${currency}]`;
  const rows = decision.courses.map((course) => [
    `${course.kind === decision.preferred ? ">" : " "} ${courseName(course)}`,
    moneyText(course.presentCost, "XXX"),
    moneyText(course.annualCost, "XXX"),
    percentText(course.chanceBest),
    percentText(course.failsBeforeNextCheck),
  ]);
  const heads = [
    "  course",
    `present\ncost${unit}`,
    `a year${unit.replace(" ", "\n")}`,
    "chance\nbest",
    "lane lost by\nthe next check",
  ];
  return tableText(heads, rows, ["left", "right", "right", "right", "right"]);
}
