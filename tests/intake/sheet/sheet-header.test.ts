import { parse } from "csv-parse/sync";
import { describe, expect, test } from "vitest";
import {
  type NoHeader,
  type SheetHeader,
  type SheetKind,
  sheetHeader,
} from "../../../src/intake/sheet/sheet-header.ts";
import { longestRow, type ParseCsv } from "../../../src/intake/sheet/sheet-rows.ts";

/** A sheet that has lane, point and volts, told which are missing. */
const needed = ["lane", "point", "volts"];
const kind: SheetKind<number> = {
  known: (names) => names.filter((name) => needed.includes(name.trim())).length,
  columns: (names) => {
    const found = names.map((name) => name.trim().replace(/\s.*$/s, ""));
    const missing = needed.filter((name) => !found.includes(name));
    return missing.length === 0 ? names.length : `lacks ${missing.join(" ")}`;
  },
};
const read = (text: string, last = true): SheetHeader<number> | NoHeader | null =>
  sheetHeader(text, last, parse as ParseCsv, kind);
const header = (text: string, last = true): SheetHeader<number> => {
  const found = read(text, last);
  if (found === null || !("headings" in found)) throw new Error(JSON.stringify(found));
  return found;
};
const names = "lane,point,volts";

test("the first row, by its delimiter, and all text behind it", () => {
  expect(header(`${names}\n1,pod,4.9\n`)).toEqual({
    ...{ headings: needed, columns: 3, delimiter: ",", line: 1, nextLine: 2, above: 0 },
    ...{ crlf: false, rest: "1,pod,4.9\n" },
  });
  expect(header("lane;point;volts;x\n1")).toMatchObject({ columns: 4, delimiter: ";", rest: "1" });
});

test.each([
  ["\n", false],
  ["\r\n", true],
  ["\r", false],
])("a line end %j is no part of what follows", (end, crlf) => {
  expect(header(`${names}${end}a${end}`)).toMatchObject({ crlf, rest: `a${end}`, nextLine: 2 });
  // A blank line behind the headings is a row of its own.
  expect(header(`${names}${end}${end}a`)).toMatchObject({ crlf, rest: `${end}a` });
});

test("a header alone is one where the text is over, and not before", () => {
  expect(header(names)).toMatchObject({ headings: needed, rest: "", crlf: false });
  expect(read(names, false)).toBeNull();
  // The lone CR may be half of a CRLF.
  expect(read(`${names}\r`, false)).toBeNull();
  expect(header(`${names}\n`, false)).toMatchObject({ headings: needed, rest: "" });
  expect(header(`${names}\r\n`, false)).toMatchObject({ crlf: true, rest: "" });
});

describe("what stands above the headings", () => {
  test.each([
    ["", 0, 1],
    ["\n", 0, 2],
    [" \t\n\n", 0, 3],
    ["\uFEFF\n", 0, 2],
    ["sep=,\n", 0, 2],
    ["\uFEFFsep=,\n", 0, 2],
    ["  SEP=;  \n", 0, 2],
    ["sep=,,\n", 1, 2],
    ["see sep=,\n", 1, 2],
    ["sep=, x\n", 1, 2],
    ["Kestrel Bay\n", 1, 2],
    ["Kestrel Bay\r\n\r\n2026-05-02\r\n", 2, 4],
    ["a\n".repeat(30), 30, 31],
  ])("%j: %i lines of a title, headings in line %i", (title, above, line) => {
    expect(header(`${title}${names}\n`)).toMatchObject({ above, line, nextLine: line + 1 });
  });

  test("a byte-order mark is no letter of the first heading", () => {
    expect(header(`\uFEFF${names}\n`).headings).toEqual(needed);
    expect(header(`a\uFEFF,${names}\n`).headings[0]).toBe("a\uFEFF");
  });

  test("the headings are looked for among thirty lines with something in them", () => {
    expect(read(`${"a\n".repeat(32)}${names}\n`)).toEqual({
      place: "line 1",
      message: "lacks lane point volts",
    });
    // Blank ones are no lines of a title.
    expect(header(`${"a\n\n".repeat(30)}${names}\n`)).toMatchObject({ above: 30, line: 61 });
  });
});

describe("headings with line breaks in quotation marks", () => {
  test("are one row", () => {
    expect(header('lane,"point","volts\n(V)"\n1,pod,4.9')).toMatchObject({
      ...{ headings: ["lane", "point", "volts\n(V)"], line: 1, nextLine: 3, rest: "1,pod,4.9" },
    });
    expect(header('a title\nlane,"point\nx","volts\n\n(V)"\nrest')).toMatchObject({
      ...{ line: 2, nextLine: 6, above: 1, rest: "rest" },
    });
  });

  test("of eight lines at most", () => {
    const over = (lines: number): string => `lane,point,"volts${"\nx".repeat(lines - 1)}"\nrest`;
    expect(header(over(8))).toMatchObject({ nextLine: 9, rest: "rest" });
    // Then the quotation mark is a letter of its line, and no heading is volts.
    expect(read(over(9))).toMatchObject({ place: "line 1" });
  });

  test("a quotation mark that closes nowhere is a letter like any other", () => {
    expect(header(`${names},"x\n1,2,3\n`)).toMatchObject({
      ...{ headings: [...needed, '"x'], nextLine: 2, rest: "1,2,3\n" },
    });
  });
});

describe("no header", () => {
  test("the sentence is of the line that came nearest, the first of equals", () => {
    expect(read("a,b\nlane,point\nlane,volts\n1,2\n")).toEqual({
      place: "line 2",
      message: "lacks volts",
    });
    // A row of figures under headings is none, whatever else it holds.
    expect(read("lane,x,y\nlane,point,2026-05-02,1,2.5\n")).toEqual({
      place: "line 1",
      message: "lacks point volts",
    });
    expect(read("lane,x,y\nlane,point,2a\n")).toMatchObject({ place: "line 2" });
  });

  test("more of the text may yet bring one", () => {
    expect(read("a,b\nc\n", false)).toBeNull();
    expect(read("a\n".repeat(30), false)).toBeNull();
    expect(read("a\n".repeat(31), false)).toMatchObject({ place: "line 1" });
    expect(read("x".repeat(longestRow), false)).toBeNull();
    expect(read("x".repeat(longestRow + 1), false)).toMatchObject({ place: "" });
  });

  test.each([
    ["", "is empty"],
    ["\n \n", "is empty"],
    ["sep=;\n", "is empty"],
    [`a\0\n`, "is not text"],
    [`${"x".repeat(longestRow + 1)}\na,b\n`, `no header row in its first ${longestRow} characters`],
    [`a,b\n${"x".repeat(longestRow + 1)}`, `no header row in its first ${longestRow} characters`],
  ])("a text that begins with %.9j", (text, words) => {
    const found = read(text) as NoHeader;
    expect(found.place).toBe("");
    expect(found.message).toContain(words);
  });

  test("lines may be as long as a row", () => {
    expect(read(`a,b\n${"x".repeat(longestRow)}\n`)).toMatchObject({ place: "line 1" });
  });
});
