import { describe, expect, test } from "vitest";
import { sheetNames } from "./make-sheet.ts";
import { trySheet } from "./try-sheet.ts";

/** Inputs of each kind of sheet; `npm run fuzz` tries as many as you like. */
const inputs = 3300;

describe.each(sheetNames)("%s, any bytes", (sheet) => {
  test("nothing throws, and rows in are used, rejected and repeats together", () => {
    const wrong = Array.from({ length: inputs }, (_, seed) => ({
      seed,
      fault: trySheet(sheet, seed),
    }));
    expect(wrong.filter(({ fault }) => fault !== null).slice(0, 3)).toEqual([]);
  });
});
