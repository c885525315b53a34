import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type ParseCsv, SheetRows } from "../../../src/intake/sheet/sheet-rows.ts";

const options = {
  delimiter: ",",
  record_delimiter: ["\r\n", "\n", "\r"],
  relax_quotes: true,
  relax_column_count: true,
};

/** Rows as the reader hands them over, the text coming in pieces. */
function rowsOf(text: string, pieceLength: number): string[][] {
  const rows: string[][] = [];
  const take = (record: readonly string[]) => void rows.push([...record]);
  const reader = new SheetRows(
    { parse: parse as ParseCsv, delimiter: ",", columns: 9, line: 1 },
    { row: take, openQuote: take },
  );
  for (let at = 0; at < text.length; at += pieceLength)
    expect(reader.feed(text.slice(at, at + pieceLength))).toBe(true);
  reader.end();
  return rows;
}

// Reference: csv-parse itself, over the whole text.
test("text without quotation marks is read as csv-parse reads it, in pieces of any size", () => {
  const text = fc.string({ unit: fc.constantFrom("a", "1", ",", "\n", "\r", "\r\n", " ") });
  fc.assert(
    fc.property(text, fc.integer({ min: 1, max: 9 }), (sheet, piece) => {
      expect(rowsOf(sheet, piece)).toEqual(parse(sheet, options));
    }),
    { numRuns: 500 },
  );
});

// The same reference, a page of so few quotation marks that it is read around them.
describe.each(["\n", "\r\n", "\r"])("lines that end with %j", (end) => {
  const filler = `x,y,z${end}`.repeat(500);
  test.each([
    ["one line first", [`"a, b",c${end}`, filler]],
    ["one line last, without an end", [filler, `d,"e"`]],
    ["one in the middle", [filler, `"a","b ""c""",d${end}`, filler]],
    ["two, one behind the other", [filler, `"a",b${end}`, `c,"d"${end}`, filler]],
    ["a note over three lines", [filler, `a,"b${end}${end}c",d${end}`, filler]],
    ["a letter", [filler, `5" pipe,x${end}`, filler]],
  ])("%s", (_, parts) => {
    for (const piece of [1 << 16, 700])
      expect(rowsOf(parts.join(""), piece)).toEqual(parse(parts.join(""), options));
  });

  test("a mark that never closes costs its own line, and the rows behind it keep their numbers", () => {
    const lines: number[] = [];
    const open: number[] = [];
    const reader = new SheetRows(
      { parse: parse as ParseCsv, delimiter: ",", columns: 3, line: 1 },
      { row: (_, line) => void lines.push(line), openQuote: (_, line) => void open.push(line) },
    );
    reader.feed(`${filler}a,"b,c${end}${filler}`);
    reader.end();
    expect(open).toEqual([501]);
    expect(lines).toEqual(Array.from({ length: 1001 }, (_, k) => k + 1).filter((k) => k !== 501));
  });
});

test("a line with quotation marks among thousands without is read as csv-parse reads it", () => {
  const cell = fc.constantFrom("a", '"b"', '"c, d"', '"e ""f"""', 'g"', "", '"h\ni"');
  const row = fc.array(cell, { minLength: 1, maxLength: 3 }).map((cells) => cells.join(","));
  const filler = "x,y,z\n".repeat(300);
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 4 }), (rows) => {
      const sheet = `${filler}${rows.join(`\n${filler}`)}\n${filler}`;
      expect(rowsOf(sheet, 5000)).toEqual(parse(sheet, options));
    }),
    { numRuns: 60 },
  );
});
