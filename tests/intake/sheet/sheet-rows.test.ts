import { parse } from "csv-parse/sync";
import { describe, expect, test } from "vitest";
import { headerCells, type ParseCsv, SheetRows } from "../../../src/intake/sheet/sheet-rows.ts";

/** What was handed over: line, cells, and the row's own text where it is not just the cells. */
function read(sheet: string, given: { piece?: number; columns?: number; delimiter?: string } = {}) {
  const { piece = sheet.length + 1, columns = 3, delimiter = "," } = given;
  const rows: string[] = [];
  const note = (kind: string) => (record: readonly string[], line: number, text: () => string) =>
    void rows.push(
      `${kind}${line}: ${record.join("|")}${reader.tail ? " (last)" : ""} <${text()}>`,
    );
  const reader: SheetRows = new SheetRows(
    { parse: parse as ParseCsv, delimiter, columns, line: 2 },
    { row: note(""), openQuote: note("?") },
  );
  for (let at = 0; at < sheet.length; at += piece) reader.feed(sheet.slice(at, at + piece));
  reader.end();
  return { rows, line: reader.line };
}

describe.each([1, 2, 3, 7, 1000])("in pieces of %i characters", (piece) => {
  test("each line is a row with its number, whatever ends it", () => {
    const { rows, line } = read("a,b,c\r\nd,e,f\rg,h,i\n\nj,k,l\n", { piece });
    expect(rows).toEqual([
      "2: a|b|c <a,b,c>",
      "3: d|e|f <d,e,f>",
      "4: g|h|i <g,h,i>",
      "5:  <>",
      "6: j|k|l <j,k,l>",
    ]);
    expect(line).toBe(7);
  });

  test("a last line without an end is told apart", () => {
    expect(read("a,b,c\nd,e,f", { piece }).rows).toEqual([
      "2: a|b|c <a,b,c>",
      "3: d|e|f (last) <d,e,f>",
    ]);
    expect(read('a,b,c\nd,"e",f', { piece }).rows.at(-1)).toBe('3: d|e|f (last) <d,"e",f>');
    expect(read("a,b,c\r", { piece }).rows).toEqual(["2: a|b|c <a,b,c>"]);
  });

  // RFC 4180: a cell in quotation marks may hold delimiters, line breaks, and quotation marks doubled.
  test("a quoted note may go over lines; what follows keeps its number", () => {
    const { rows } = read('a,"x, ""y""",c\nd,"over\ntwo\r\nlines",f\ng,h,i\n', { piece });
    expect(rows).toEqual([
      '2: a|x, "y"|c <a,"x, ""y""",c>',
      '3: d|over\ntwo\r\nlines|f <d,"over\ntwo\nlines",f>',
      "6: g|h|i <g,h,i>",
    ]);
  });

  test("a stray quotation mark swallows no row: where a line inside is as long as a row, each stands alone", () => {
    const { rows } = read('a,"b,c\nd,e,f\ng,h",i\n', { piece });
    expect(rows).toEqual(['?2: a|"b|c <a,"b,c>', "3: d|e|f <d,e,f>", '4: g|h"|i <g,h",i>']);
  });

  test("one that never closes costs its own line only", () => {
    const { rows, line } = read('a,b,c\nd,"e,f\ng,h,i\nj,k,l\n', { piece });
    expect(rows).toEqual([
      "2: a|b|c <a,b,c>",
      '?3: d|"e|f <d,"e,f>',
      "4: g|h|i <g,h,i>",
      "5: j|k|l <j,k,l>",
    ]);
    expect(line).toBe(6);
  });

  test("a quotation mark inside a cell is a letter", () => {
    expect(read('5" pipe,b,c\n', { piece }).rows).toEqual(['2: 5" pipe|b|c <5" pipe,b,c>']);
  });
});

test("a line alone with an open quotation mark behind a swallowed one is reported too", () => {
  const { rows } = read('a,"b,c\nd,e,f\ng,"h\nx",i\n');
  expect(rows[0]).toBe('?2: a|"b|c <a,"b,c>');
  expect(rows).toContain("3: d|e|f <d,e,f>");
  expect(rows.join("\n")).toContain("4: ");
});

test("a note is taken apart where one of its lines has as many columns as a row", () => {
  expect(read('a,"b\nc",e\n').rows).toEqual(['2: a|b\nc|e <a,"b\nc",e>']);
  expect(read('a,"b\nc,d",e\n').rows).toEqual(['?2: a|"b <a,"b>', '3: c|d"|e <c,d",e>']);
  // In a sheet of one column any delimiter makes a row.
  expect(read('"b\nc,d"\n', { columns: 1 }).rows).toHaveLength(2);
  expect(read('"b\nc"\n', { columns: 1 }).rows).toHaveLength(1);
});

test("other delimiters", () => {
  expect(read('a;"b;c";d,e\n', { delimiter: ";" }).rows).toEqual(['2: a|b;c|d,e <a;"b;c";d,e>']);
});

test("thousands of rows with one quoted among them are all there, in order", () => {
  const sheet = Array.from({ length: 3000 }, (_, k) =>
    k === 1700 ? `${k},"x\ny",z` : `${k},x,y`,
  ).join("\n");
  const { rows, line } = read(sheet, { piece: 4096 });
  expect(rows).toHaveLength(3000);
  expect(rows[1699]).toBe("1701: 1699|x|y <1699,x,y>");
  expect(rows[1700]).toBe('1702: 1700|x\ny|z <1700,"x\ny",z>');
  expect(rows[1701]).toBe("1704: 1701|x|y <1701,x,y>");
  expect(line).toBe(3003);
});

test("a line longer than any row is not waited for", () => {
  const reader = new SheetRows(
    { parse: parse as ParseCsv, delimiter: ",", columns: 3, line: 2 },
    { row: () => {}, openQuote: () => {} },
  );
  expect(reader.feed("x".repeat(100_000))).toBe(true);
  expect(reader.feed("x")).toBe(false);
});

test("a page with a control character in it says so", () => {
  const controls: boolean[] = [];
  const reader: SheetRows = new SheetRows(
    { parse: parse as ParseCsv, delimiter: ",", columns: 3, line: 2 },
    { row: () => void controls.push(reader.control), openQuote: () => {} },
  );
  reader.feed("a,b,c\n");
  reader.feed("a,\u0007,c\n");
  reader.feed("a,\t,c\n");
  reader.end();
  expect(controls).toEqual([false, true, false]);
});

describe("the cells of a header line", () => {
  const cells = (line: string, delimiter = ",") => headerCells(parse as ParseCsv, line, delimiter);
  test.each([
    ["lane,point", ["lane", "point"]],
    ['"lane","the, point"', ["lane", "the, point"]],
    ['"lane","po""int"', ["lane", 'po"int']],
    ['lane,"point', ["lane", '"point']],
    ['5" pipe,x', ['5" pipe', "x"]],
    ["", [""]],
    ['""', [""]],
  ])("%j", (line, expected) => {
    expect(cells(line)).toEqual(expected);
  });
  test("by another delimiter", () => {
    expect(cells('"a;b";c', ";")).toEqual(["a;b", "c"]);
  });
});
