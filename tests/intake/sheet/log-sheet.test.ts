import { describe, expect, test } from "vitest";
import { type LogSpec, readLogSheet, rejectOf } from "../../../src/intake/sheet/log-sheet.ts";

type Heading = "day" | "lane" | "note" | "by";
const spec: LogSpec<Heading> = {
  needed: ["day", "lane"],
  optional: ["note", "by"],
  meaning: (text) =>
    (["day", "lane", "note", "by"] as const).find((one) => text.trim().startsWith(one)) ?? null,
  dates: ["day"],
};
const read = (text: string, of: LogSpec<Heading> = spec) => readLogSheet(text, "a.csv", of);

test("where everything stands, and its rows by the columns' own names", () => {
  const sheet = read("a title\nlane;x;day;note\n3;?;2026-05-02;'=1\n");
  expect(sheet).toMatchObject({
    ...{ fault: null, delimiter: ";", headerLine: 2, columns: ["lane", null, "day", "note"] },
    warnings: [{ file: "a.csv", place: "line 2" }],
  });
  expect(sheet.rows).toEqual([
    {
      cells: { day: "2026-05-02", lane: "3", note: "=1", by: "" },
      line: 3,
      text: "3;?;2026-05-02;'=1",
      fields: { lane: "3", x: "?", day: "2026-05-02", note: "=1" },
      broken: [],
    },
  ]);
});

test("a note keeps its lines, a name has one; a short row has blanks", () => {
  const { rows } = read('day,lane,note,by\n,"3\n4","wet\nfloor","R.\nQ."\n2026-05-02\n');
  expect(rows.map(({ cells }) => cells)).toEqual([
    { day: "", lane: "3 4", note: "wet\nfloor", by: "R. Q." },
    { day: "2026-05-02", lane: "", note: "", by: "" },
  ]);
});

test("what is wrong with a row as a row is handed on", () => {
  const [row] = read("day,lane\n,3,x\n").rows;
  expect(row!.broken.map(({ kind }) => kind)).toEqual(["columns"]);
  expect(row!.fields).toEqual({ day: "", lane: "3", extra: "x" });
});

describe("a sheet that can't be read has a reason, and says nothing else", () => {
  const long = `lane${"x".repeat(76)}`;
  test.each([
    ["x,y\n1,2\n", "line 1", "has no column day, no column lane (found 'x', 'y')"],
    ["lane,x\n1,2\n", "line 1", "has no column day (found 'lane', 'x')"],
    ["lane,dya\n1,2\n", "line 1", "has no column day (found 'lane', 'dya'); did you mean 'dya'?"],
    ["day,lane,lane 2\n", "line 1", "has two columns for lane"],
    // A heading of over eighty letters is none.
    [`day,${long}x\n`, "line 1", "has no column lane"],
    ["", "", "is empty"],
  ])("%j", (text, place, words) => {
    const sheet = read(text);
    expect(sheet).toMatchObject({ rows: [], columns: [], delimiter: ",", headerLine: 0 });
    expect(sheet.fault).toMatchObject({ file: "a.csv", place });
    expect(sheet.fault!.message).toContain(words);
  });

  test("a heading of eighty letters is read, and a second note is passed over", () => {
    expect(read(`day,${long}\n`).columns).toEqual(["day", "lane"]);
    expect(read("day,lane,note,notes\n").columns).toEqual(["day", "lane", "note", null]);
  });

  test("the first thirty headings are shown, in three hundred letters at most", () => {
    const names = (count: number, name: string) => Array.from({ length: count }, () => name);
    const shown = (header: readonly string[]) => read(`${header.join(",")}\n`).fault!.message;
    expect(shown(names(40, "q")).match(/'q'/g)).toHaveLength(30);
    expect(/found (.*)\)/.exec(shown(names(20, "q".repeat(30))))![1]).toHaveLength(300);
    expect(shown([])).toContain("is empty");
  });

  test("what is lacking beyond needed columns", () => {
    const lacking = {
      ...spec,
      lacks: (has: (one: Heading) => boolean) => (has("by") ? null : "needs a column by"),
    };
    expect(read("day,lane,x\n", lacking).fault?.message).toBe(
      "needs a column by (found 'day', 'lane', 'x')",
    );
    expect(read("day,lane,by\n", lacking).fault).toBeNull();
  });

  test("of rows that might be headings the one that knows most is told", () => {
    expect(read("x,y\nlane,by\nlane\n").fault?.place).toBe("line 2");
  });
});

test("dates that nobody can tell are one question", () => {
  const sheet = read("day,lane\n03/04/2026,3\n");
  expect(sheet.fault).toMatchObject({ file: "a.csv", place: "" });
  expect(sheet.fault!.message).toContain("03/04/2026: is the day first or the month?");
  expect(read("day,lane\n03/04/2026,3\n24/08/2026,3\n").fault).toBeNull();
});

test("a text of many pieces is read to its end", () => {
  const rows = Array.from({ length: 9000 }, (_, k) => `2026-05-02,${k % 8}`);
  const sheet = read(`day,lane\n${rows.join("\n")}\n`);
  expect(sheet.rows).toHaveLength(9000);
  expect(sheet.rows.at(-1)).toMatchObject({ line: 9001, text: rows.at(-1) });
});

test("a reject has the first slip's kind and all reasons", () => {
  const row = { line: 3, text: "3,x", fields: { lane: "3" } };
  const faults = [
    { kind: "lane", words: "lane is blank" },
    { kind: "day", words: "day is blank" },
  ];
  expect(rejectOf("a.csv", row, faults)).toEqual({
    ...{ file: "a.csv", ...row, kind: "lane", reason: "lane is blank; day is blank" },
  });
});
