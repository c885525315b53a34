import { describe, expect, test } from "vitest";
import { cellText, oneLine, ownCopy } from "../../../src/intake/sheet/cell-text.ts";
import { likelyDelimiter } from "../../../src/intake/sheet/delimiter.ts";
import { fieldsUnder, uniqueNames } from "../../../src/intake/sheet/heading-names.ts";
import { decimal, wholeNumber } from "../../../src/intake/sheet/number-text.ts";

describe("a cell's text", () => {
  test.each([
    [" pod ", "pod"],
    ["'=1+1", "=1+1"],
    ["''-x", "'-x"],
    ["'@a", "@a"],
    ["'+4", "+4"],
    ["'pod'", "'pod'"],
    ["a'=b", "a'=b"],
    ["=1", "=1"],
  ])("%j says %j", (cell, text) => {
    expect(cellText(cell)).toBe(text);
  });

  test("a line break inside a name is a blank", () => {
    expect(oneLine("wall \r\n plate")).toBe("wall plate");
    expect(oneLine("wall\rplate\n\nx")).toBe("wall plate x");
    expect(oneLine("wall  plate")).toBe("wall  plate");
  });

  test("a copy says the same and is another", () => {
    const cells = { lane: "3" };
    expect(ownCopy(cells)).toEqual(cells);
    expect(ownCopy(cells)).not.toBe(cells);
  });
});

describe("which delimiter", () => {
  const names = ["lane", "point", "volts"];
  const likely = (line: string): string =>
    likelyDelimiter(
      line,
      (cells) => cells.filter((cell) => names.includes(cell)).length,
      (text, delimiter) => text.split(delimiter),
    );
  test.each([
    ["lane,point,volts", ","],
    ["lane;point;volts", ";"],
    ["lane\tpoint\tvolts", "\t"],
    ["lane", ","],
    ["lane,point;volts", ","],
    ["lane;point,volts;x", ";"],
    ["a;b\tc\td", "\t"],
    ["a,b;c", ","],
    ["a,b;c;d", ";"],
  ])("%j is cut at %j", (line, delimiter) => {
    expect(likely(line)).toBe(delimiter);
  });
});

describe("headings as keys", () => {
  test("a blank one is named by its place, a second one by its count", () => {
    expect(uniqueNames(["lane", "", " lane ", "lane", "  "])).toEqual([
      "lane",
      "column 2",
      "lane (2)",
      "lane (3)",
      "column 5",
    ]);
    expect(uniqueNames(["ｌane", "lane"])).toEqual(["lane", "lane (2)"]);
  });

  test("a count that somebody wrote already is passed over", () => {
    expect(uniqueNames(["a (2)", "a", "a", "a"])).toEqual(["a (2)", "a", "a (3)", "a (4)"]);
    expect(uniqueNames(["column 2", "", "a"])).toEqual(["column 2", "column 2 (2)", "a"]);
  });

  test("a row's cells stand under them, without the program's own columns", () => {
    const at = (cells: readonly string[], extra = "", leftOut: readonly number[] = []) =>
      fieldsUnder(["lane", "point", "reason"], cells, extra, new Set(leftOut));
    expect(at(["3", "pod", "why"])).toEqual({ lane: "3", point: "pod", reason: "why" });
    expect(at(["3"])).toEqual({ lane: "3", point: "", reason: "" });
    expect(at(["3", "pod", "why"], "", [2])).toEqual({ lane: "3", point: "pod" });
    expect(at(["3", "pod", "why"], "x,y")).toMatchObject({ extra: "x,y" });
  });

  test("of a thousand columns the first hundred are written out, and more where the row has more", () => {
    const wide = Array.from({ length: 1000 }, (_, k) => `c${k}`);
    const count = (cells: number): number =>
      Object.keys(fieldsUnder(wide, Array(cells).fill("x"), "", new Set())).length;
    expect([count(3), count(100), count(150), count(2000)]).toEqual([100, 100, 150, 1000]);
  });
});

describe("numbers", () => {
  test.each([
    ["4.8", 4.8],
    ["4,8", 4.8],
    ["-4", -4],
    ["+4.25", 4.25],
    ["\u22124", -4],
    ["４.5", 4.5],
    [" 1 234 ", 1234],
    ["123456789.5", 123456789.5],
    ["0.123456789", 0.123456789],
  ])("%j is %d", (text, value) => {
    expect(decimal(text)).toBe(value);
  });

  test.each([
    "",
    "0x14",
    "1e3",
    "1,200.5",
    "4.",
    ".5",
    "--4",
    "4V",
    "1234567890",
    "1.1234567890",
    "∞",
  ])("%j is no decimal", (text) => {
    expect(decimal(text)).toBeNull();
  });

  test.each([
    ["10", 10],
    ["10.0", 10],
    ["10,00", 10],
    ["0", 0],
    ["99", 99],
  ])("%j is the whole number %d", (text, value) => {
    expect(wholeNumber(text, 0, 99)).toBe(value);
  });

  test.each(["100", "-1", "10.5", "10.", "ten", "", "+1"])("%j is none from 0 to 99", (text) => {
    expect(wholeNumber(text, 0, 99)).toBeNull();
  });

  test("both ends count", () => {
    expect([wholeNumber("1", 1, 3), wholeNumber("3", 1, 3), wholeNumber("4", 1, 3)]).toEqual([
      1,
      3,
      null,
    ]);
    expect(wholeNumber("0", 1, 3)).toBeNull();
  });
});
