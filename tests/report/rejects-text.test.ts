import { expect, test } from "vitest";
import { rejectsText, unusedHeadline } from "../../src/report/rejects-text.ts";

const reject = (line: number, kind: string, reason: string, file = "a.csv") => ({
  file,
  line,
  kind,
  reason,
  text: "",
  fields: {},
});

test("one sentence a kind of fault, with the lines that have it", () => {
  const many = [3, 4, 5, 6, 7, 8, 9].map((line) => reject(line, "lane", "lane is blank"));
  const some = [11, 20, 30, 41, 50, 60].map((line) => reject(line, "point", `point is '${line}'`));
  expect(rejectsText([...many, reject(12, "volts", "volts is 'x'"), ...some])).toBe(
    "Not used of a.csv (mend them and import again):\n" +
      "  lines 3 to 9: lane is blank\n" +
      "  line 12: volts is 'x'\n" +
      "  lines 11, 20, 30, 41, 50 and 1 more: such as: point is '11'\n",
  );
  expect(rejectsText([])).toBe("");
});

test("over a tenth not used is said first; blank values are no loss", () => {
  const rows = { in: 136, used: 40, rejected: 96, repeats: 0 };
  const lost = Array.from({ length: 96 }, (_, i) => reject(i + 2, "lane", "lane is blank"));
  expect(unusedHeadline(rows, lost)).toBe(
    "Careful: 96 of 136 rows not used; what follows rests on the other 40.\n\n",
  );
  const blank = lost.map((one) => ({ ...one, kind: "blank" }));
  expect(unusedHeadline(rows, blank)).toBe("");
  expect(unusedHeadline({ ...rows, used: 135, rejected: 1 }, lost.slice(0, 1))).toBe("");
});
