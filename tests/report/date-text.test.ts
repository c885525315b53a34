import { expect, test } from "vitest";
import { dayNumber } from "../../src/domain/calendar.ts";
import type { WorkEntry } from "../../src/domain/work.ts";
import { dateWarnings, leftOutText } from "../../src/report/date-text.ts";
import { workOf } from "../history/synthetic.ts";

const walkOn = (date: string, walk = date) => ({ walk, day: dayNumber(date) });
const cleanedOn = (date: string): WorkEntry => workOf(dayNumber(date)!, "cleaned", "plate", 3);

test("dates as they should be give no word, undated walks neither", () => {
  const walks = [walkOn("2024-05-03"), walkOn("2026-05-02"), walkOn("", "deck")];
  expect(dateWarnings(walks, [cleanedOn("2027-05-02")])).toBe("");
  expect(dateWarnings([walkOn("", "deck")], [cleanedOn("2062-05-02")])).toBe("");
});

test("two walks over two years apart are named, whichever of them is wrong", () => {
  expect(dateWarnings([walkOn("2026-05-02"), walkOn("2125-05-02", "spring")], [])).toBe(
    "a date may be wrong: walk spring (2125-05-02) lies 99 years after walk 2026-05-02, and no " +
      "walk between them\n",
  );
  expect(dateWarnings([walkOn("2026-05-02"), walkOn("2024-05-01")], [])).toContain("2 years after");
});

test("work more than a year after the latest walk is named with its line", () => {
  const work = [cleanedOn("2026-05-09"), cleanedOn("2027-07-02")];
  expect(dateWarnings([walkOn("2026-05-02")], work)).toBe(
    "a date may be wrong: line 2 of the work log (lane 3 plate cleaned 2027-07-02) lies 14 months " +
      "after the latest walk, 2026-05-02\n",
  );
});

test("many are counted instead of named", () => {
  const many = Array.from({ length: 9 }, () => cleanedOn("2062-05-02"));
  const lines = dateWarnings([walkOn("2026-05-02")], many)
    .trimEnd()
    .split("\n");
  expect(lines).toHaveLength(6);
  expect(lines.at(-1)).toBe("and 4 more such dates");
  expect(leftOutText([])).toBe("");
  expect(leftOutText(["a", "b"])).toBe("left out, no date: walk a, walk b\n");
  expect(leftOutText([..."abcdefg"])).toMatch(/walk d, walk e and 2 more\n$/);
});
