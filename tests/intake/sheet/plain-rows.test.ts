import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { expect, test } from "vitest";
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
