import type { Course, CourseKind, Decision } from "../decision/decision.ts";
import { everyText, moneyText, percentText, voltsText, weeksText } from "./names.ts";
import { tableText } from "./text-table.ts";

export const courseNames: Readonly<Record<CourseKind, string>> = {
  leave: "leave it",
  clean: "clean it",
  "replace-now": "replace it now",
  "replace-at-age": "replace it later",
};

/** "clean it every 13 weeks". */
export function courseName(course: Course): string {
  const name = courseNames[course.kind];
  switch (course.kind) {
    case "clean":
      return course.everyWeeks === null
        ? "clean it once"
        : `${name} ${everyText(course.everyWeeks)}`;
    case "replace-at-age":
      return course.replaceInWeeks === null
        ? `${name}: no better`
        : `replace it in ${weeksText(course.replaceInWeeks)}`;
    default:
      return name;
  }
}

/** Second line of a course that replaces what a cleaning left too low. */
const replacedText = ({ kind, replaceInWeeks, replaceUnderVolts: under }: Course): string | null =>
  under === null || (kind === "replace-at-age" && replaceInWeeks === null)
    ? null
    : `    replaced if under ${voltsText(under)}`;

/** What each course of one decision costs and risks, the preferred one marked. */
export function courseTable(decision: Decision, currency: string): readonly string[] {
  const unit = currency === "XXX" ? "" : ` [${currency}]`;
  const rows = decision.courses.flatMap((course) => {
    const also = replacedText(course);
    return [
      [
        `${course.kind === decision.preferred ? ">" : " "} ${courseName(course)}`,
        moneyText(course.presentCost, "XXX"),
        moneyText(course.annualCost, "XXX"),
        percentText(course.chanceBest),
        percentText(course.failsBeforeNextCheck),
      ],
      ...(also === null ? [] : [[also, "", "", "", ""]]),
    ];
  });
  const heads = [
    "  course",
    `present\ncost${unit}`,
    `a year${unit.replace(" ", "\n")}`,
    "chance\nbest",
    "lane lost by\nthe next check",
  ];
  return tableText(heads, rows, ["left", "right", "right", "right", "right"]);
}
