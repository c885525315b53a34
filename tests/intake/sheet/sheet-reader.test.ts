import { parse } from "csv-parse/sync";
import { describe, expect, test } from "vitest";
import type { SheetKind } from "../../../src/intake/sheet/sheet-header.ts";
import { type OpenedSheet, SheetReader } from "../../../src/intake/sheet/sheet-reader.ts";
import { longestRow, type ParseCsv } from "../../../src/intake/sheet/sheet-rows.ts";

const kind: SheetKind<number> = {
  known: (names) => names.filter((name) => name.trim() === "lane").length,
  columns: (names) =>
    names.some((name) => name.trim() === "lane") ? names.length : "has no column lane",
};

/** What comes of a text: its rows as `line: cells`, with what is wrong and what is left over. */
function read(text: string, piece = text.length + 1) {
  let opened: OpenedSheet<number> | null = null;
  const rows: string[] = [];
  const fields: Record<string, string>[] = [];
  const reader: SheetReader<number> = new SheetReader(
    kind,
    { file: "a.csv", parse: parse as ParseCsv },
    {
      opened: (sheet) => {
        opened = sheet;
      },
      row: ({ record, line, faults, extra }) => {
        const kinds = faults.map((one) => `!${one.kind}`).join("");
        rows.push(`${line}: ${record.join("|")}${kinds}${extra === "" ? "" : ` +${extra}`}`);
        fields.push(reader.fields(record, extra));
      },
    },
  );
  const going: boolean[] = [];
  for (let at = 0; at < text.length; at += piece)
    going.push(reader.feed(text.slice(at, at + piece)));
  return { ...reader.end(), rows, fields, going, opened: opened as OpenedSheet<number> | null };
}
const words = (text: string): string[] => {
  const all: string[] = [];
  const reader = new SheetReader<number>(
    kind,
    { file: "a.csv", parse: parse as ParseCsv },
    { opened: () => {}, row: ({ faults }) => void all.push(...faults.map((one) => one.words)) },
  );
  reader.feed(text);
  reader.end();
  return all;
};

describe.each([1, 4, 1000])("in pieces of %i characters", (piece) => {
  test("a header, then rows, blank ones left out", () => {
    const { opened, rows, faults, warnings, going } = read(
      "lane,x\r\n1,a\r\n\r\n , \r\n2,\r\n",
      piece,
    );
    expect(opened).toEqual({ columns: 2, names: ["lane", "x"], delimiter: ",", line: 1 });
    expect(rows).toEqual(["2: 1|a", "5: 2|"]);
    expect([faults, warnings]).toEqual([[], []]);
    expect(going.every((each) => each)).toBe(true);
  });

  test("titles are passed over, and said", () => {
    const one = read("Kestrel Bay\nlane,x\n1,a\n", piece);
    expect(one.warnings).toEqual([
      {
        file: "a.csv",
        place: "line 2",
        message: "a line stands above the headings and is taken for a title",
      },
    ]);
    expect(one.rows).toEqual(["3: 1|a"]);
    const two = read("Kestrel Bay\n\nMay\nlane,x\n1,a\n", piece);
    expect(two.warnings.map(({ message }) => message)).toEqual([
      "2 lines stand above the headings and are taken for a title",
    ]);
    expect(two.opened?.line).toBe(4);
  });

  test("a sheet without a header is a fault, and no row of it is read", () => {
    const { faults, rows, opened } = read("x,y\n1,2\n", piece);
    expect(faults).toEqual([{ file: "a.csv", place: "line 1", message: "has no column lane" }]);
    expect([rows, opened]).toEqual([[], null]);
  });

  test("a header alone is a sheet without rows", () => {
    expect(read("lane,x", piece)).toMatchObject({ rows: [], faults: [], opened: { columns: 2 } });
  });
});

describe("a row cut short by a power cut", () => {
  // This program and RFC 4180 write CR and LF behind every row: a last row without them was torn.
  test.each([
    ["lane,x,y\r\n1,a,b\r\n2,c", "3: 2|c!torn"],
    ["lane,x,y\r\n1,a,b\r\n2,c,d", "3: 2|c|d"],
    ["lane,x,y\r\n1,a,b\r\n2,c\r\n", "3: 2|c"],
    // A sheet whose rows are uneven, or that some other program wrote, may well end so.
    ["lane,x,y\r\n1,a\r\n2,c", "3: 2|c"],
    ["lane,x,y\n1,a,b\n2,c", "3: 2|c"],
  ])("%j ends with %j", (text, row) => {
    expect(read(text).rows.at(-1)).toBe(row);
  });

  test("says how much of it is there", () => {
    expect(words("lane,x,y\r\n1,a,b\r\n2,c")[0]).toMatch(/^cut short: 2 of 3 values\b/);
  });
});

describe("the headings once more", () => {
  test.each([
    ["lane,x\n1,a\nlane,x\n", "3: lane|x!header"],
    ["lane,x\n1,a\nlane,y\n", "3: lane|y"],
    ["lane,x\n1,a\nz,x\n", "3: z|x"],
    ["lane,x\n1,a\nlane\n", "3: lane"],
    ["lane\n1\nlane\n", "3: lane"],
  ])("%j: %j", (text, row) => {
    expect(read(text).rows.at(-1)).toBe(row);
  });
});

describe("more cells than headings", () => {
  test.each([
    ["lane,x\n1,a,b\n", "2: 1|a|b!columns +b"],
    ["lane,x\n1,a, b ,,c\n", "2: 1|a| b ||c!columns + b ,c"],
    ["lane;x\n1;a;b;c\n", "2: 1|a|b|c!columns +b;c"],
    ["lane,x\n1,a,, \n", "2: 1|a|| "],
    ["lane,x\n1\n", "2: 1"],
    // What a column `extra` kept of an earlier reading stands before what is left over now.
    ["lane,x, Extra\n1,a,k\n", "2: 1|a|k!columns +k"],
    ["lane,x,extra\n1,a,\n", "2: 1|a|"],
    ["lane,x,extra\n1,a\n", "2: 1|a"],
    ["lane,x,extra\n1,a,k,b\n", "2: 1|a|k|b!columns +k,b"],
    ["extra,lane\nk,1\n", "2: k|1!columns +k"],
    ["extra,lane\n,1\n", "2: |1"],
  ])("%j: %j", (text, row) => {
    expect(read(text).rows).toEqual([row]);
  });

  test("how many, what, and the likely reason", () => {
    expect(words("lane,x\n1,4,91\n")[0]).toMatch(/^found 3 values for 2 columns, '91' left over;/);
    expect(words("lane,x\n1,4,91\n")[0]).toContain("a decimal comma needs quotes");
    expect(words("lane;x\n1;4;91\n")).toEqual(["found 3 values for 2 columns, '91' left over"]);
    expect(words("lane,x,extra\n1,a,k\n")[0]).toMatch(/^found too many values, 'k' left over/);
  });
});

test("a quotation mark that closes nowhere spoils its own row alone", () => {
  expect(read('lane,x\n1,"a\n2,b\n').rows).toEqual(['2: 1|"a!open-quote', "3: 2|b"]);
});

describe("control characters", () => {
  test.each([
    ["lane,x\n1,a\u0007b\n", ["2: 1|a\u0007b!control"]],
    ["lane,x\n\u0007,a\n", ["2: \u0007|a!control"]],
    ["lane,x\n1,a\tb\n", ["2: 1|a\tb"]],
    // Around a cell a vertical tab is a blank like any other.
    ["lane,x\n1,\u000b a\n", ["2: 1|\u000b a"]],
    ["lane,x\n1,a\n2,\u0007\n3,b\n", ["2: 1|a", "3: 2|\u0007!control", "4: 3|b"]],
  ])("%j: %j", (text, rows) => {
    expect(read(text).rows).toEqual(rows);
  });

  test("are called by their code and their column", () => {
    expect(words("lane,x\n1,a\u0007\n")).toEqual(["x holds the control character U+0007"]);
    expect(words("lane,x\n\u000b1\u001b2,a\n")).toEqual([
      "lane holds the control character U+001B",
    ]);
    expect(words("lane,x\n1,a,\u0007\n").at(-1)).toBe("a cell holds the control character U+0007");
  });
});

test("a row's cells under the headings, the program's own columns left out", () => {
  const { fields } = read("lane,Reason,x,EXTRA\n1,why,' a,k\n2, =b\n");
  expect(fields).toEqual([
    { lane: "1", x: "' a", extra: "k" },
    { lane: "2", x: "" },
  ]);
});

test("a row longer than any row is a fault of the sheet, and what comes behind it is not read", () => {
  const long = `lane,x\n1,a\n2,${"b".repeat(2 * longestRow)}\n3,c\n`;
  const { faults, going, rows } = read(long, 90_000);
  expect(faults).toMatchObject([{ file: "a.csv", place: "line 3" }]);
  expect(faults[0]!.message).toContain(`${longestRow} characters`);
  expect(going).toEqual([true, false, false]);
  expect(rows.map((row) => row.slice(0, 9))).toEqual(["2: 1|a"]);
});

test("stopped, a sheet takes no more and says why once", () => {
  const rows: number[] = [];
  const reader: SheetReader<number> = new SheetReader(
    kind,
    { file: "a.csv", parse: parse as ParseCsv },
    {
      opened: () => {},
      row: ({ line }) => {
        rows.push(line);
        if (line === 2) reader.stop("line 2", "is not wanted");
      },
    },
  );
  expect(reader.feed("lane,x\n")).toBe(true);
  expect(reader.feed("1,a\n")).toBe(false);
  expect(reader.feed("2,b\n")).toBe(false);
  expect(reader.end().faults).toEqual([
    { file: "a.csv", place: "line 2", message: "is not wanted" },
  ]);
  expect(rows).toEqual([2]);
});
