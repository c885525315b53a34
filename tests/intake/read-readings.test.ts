import fc from "fast-check";
import { expect, test } from "vitest";
import type { Pool } from "../../src/domain/pool.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";

const pool = poolOf("pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1, button-2]");

function poolOf(text: string): Pool {
  const result = readPool(text, "pool.yaml");
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}

const read = (text: string, file = "readings.csv") => readReadings(text, pool, file);
const reasons = (text: string): string[] =>
  read(text).rejected.map(({ line, reason }) => `line ${line}: ${reason}`);
const shown = (text: string) =>
  read(text).readings.map(
    ({ lane, device, point, volts }) => `${lane} ${device} ${point} ${volts}`,
  );

test("a long sheet: one row a reading, every column of the contract", () => {
  const { readings, rejected, warnings, faults } = read(
    "lane,device,point,volts,taken_at,walk,meter,meter_on,state,by,note\n" +
      "3,button-1,pod,4.90,2026-05-02T10:15:00+02:00,before,deck,yes,pressed,A. B.,wet\n",
  );
  expect([rejected, warnings, faults]).toEqual([[], [], []]);
  // 2026-05-02 is day 20,575 since 1970-01-01 (56 years of 365, 14 leap days, 121 days); 08:15 UTC.
  const seconds = 20_575 * 86_400 + 8 * 3600 + 15 * 60;
  expect(readings).toEqual([
    {
      lane: 3,
      end: null,
      id: null,
      device: "button-1",
      point: "pod",
      volts: 4.9,
      step: 0.01,
      takenAt: { text: "2026-05-02T10:15:00+02:00", day: "2026-05-02", seconds },
      walk: "before",
      meter: "deck",
      meterOn: true,
      state: "pressed",
      by: "A. B.",
      note: "wet",
      line: 2,
    },
  ]);
});

test("what is left out has the pool's first device and meter, and the file's name as walk", () => {
  const { readings } = read("lane,point,volts\n1,pod,4.9\n", "sheets/may walk.csv");
  expect(readings[0]).toMatchObject({
    device: "touchpad",
    meter: "deck",
    walk: "may walk",
    takenAt: null,
    state: "rest",
    meterOn: false,
    step: 0.1,
  });
});

test("the walk is the walk column's, else the day", () => {
  const { readings } = read(
    "lane,point,volts,taken_at,walk\n1,pod,4.9,2026-05-02,\n1,pod,4.9,2026-05-02T09:00,a\n",
  );
  expect(readings.map(({ walk }) => walk)).toEqual(["2026-05-02", "a"]);
});

test("a wide sheet: one row a lane and device, one column a point, a blank cell is not read", () => {
  const text = "Lane;Device;Timer;Harness;Plate (V);Pod mV\n1;touchpad;4,99;;4,95;4912\n2;;;;;4890";
  expect(shown(text)).toEqual([
    "1 touchpad timer 4.99",
    "1 touchpad plate 4.95",
    "1 touchpad pod 4.912",
    "2 touchpad pod 4.89",
  ]);
  expect(read(text).readings.map(({ step }) => step)).toEqual([0.01, 0.01, 0.001, 0.001]);
});

test.each([
  ["comma", "lane,point,volts\n1,pod,4.91\n2,plate,4.93"],
  ["semicolon and decimal commas", "lane;point;volts\n1;pod;4,91\n2;plate;4,93"],
  ["tab", "lane\tpoint\tvolts\n1\tpod\t4.91\n2\tplate\t4,93"],
  ["quoted decimal commas", 'lane,point,volts\n1,pod,"4,91"\n2,plate,"4,93"'],
  ["byte-order mark", "\uFEFFlane,point,volts\n1,pod,4.91\n2,plate,4.93"],
  ["a spreadsheet's sep line", "sep=;\nlane;point;volts\n1;pod;4.91\n2;plate;4.93"],
  ["Windows line ends", "lane,point,volts\r\n1,pod,4.91\r\n2,plate,4.93\r\n"],
  ["old Macintosh line ends", "lane,point,volts\r1,pod,4.91\r2,plate,4.93\r"],
  ["blank lines and blank cells", "\n\nlane,point,volts\n\n1,pod,4.91\n,,\n2,plate,4.93\n , ,\n"],
  ["headings in any case, spaced", "LANE , Point, VOLTS (V)\n1,POD,4.91\nLane 2, Plate ,4.93"],
  ["synonyms", "lane no,test point,reading\n01,pod terminals,4.91\n2.0,plate connector,4.93"],
  ["units and thin spaces", "lane,point,volts\n1,pod,4.91\u2009V\n2,plate,4\u202F930\u00A0mV"],
  ["millivolts in the heading", "lane,point,volts (mV)\n1,pod,4910\n2,plate,4930"],
  ["full-width digits, exponents", "lane,point,volts\n1,pod,４.９１\n2,plate,4.93E+00"],
  ["extra blank columns", "lane,point,volts,,\n1,pod,4.91,,\n2,plate,4.93,,,,"],
])("%s", (_, text) => {
  expect(reasons(text)).toEqual([]);
  expect(shown(text)).toEqual(["1 touchpad pod 4.91", "2 touchpad plate 4.93"]);
});

test.each([
  ['1,pod,"4,9l"', "line 2: volts is '4,9l': not a number; did you mean 4.91?"],
  ["1,pod,4.9o", "line 2: volts is '4.9o': not a number; did you mean 4.9"],
  [
    "1,pod,49.1",
    "line 2: volts is '49.1': over 1.5 times the supply, which is 7.5 V; did you mean 4.91?",
  ],
  ["1,pod,4910", "did you mean 4.91?"],
  ["1,pod,NaN", "line 2: volts is 'NaN': not a number"],
  ["1,pod,1e400", "volts is '1e400'"],
  ["1,pod,Infinity", "not a number"],
  ["1,pod,-4.9", "below 0"],
  ["1,pod,\u22124.9", "below 0"],
  ["1,pod,", "line 2: volts is blank"],
  [",pod,4.9", "line 2: lane is blank"],
  ["9,pod,4.9", "lane is '9': the pool file has 1 to 8"],
  ["l,pod,4.9", "lane is 'l': the pool file has 1 to 8; did you mean '1'?"],
  [
    "1,pid,4.9",
    "point is 'pid': the pool file has timer, harness, plate, pod; did you mean 'pod'?",
  ],
  ["1,pod,4,91", "found 4 values for 3 columns, '91' left over; a decimal comma needs quotes"],
  ["__proto__,constructor,4.9", "lane is '__proto__'"],
  ['1,pod,"4,910 mV"', "not a number"],
])("%s is rejected: %s", (row, reason) => {
  expect(reasons(`lane,point,volts\n${row}\n`).join()).toContain(reason);
  expect(shown(`lane,point,volts\n${row}\n`)).toEqual([]);
});

test.each([
  ["2026-02-30", "not an ISO 8601"],
  ["31/04/2026", "not an ISO 8601"],
  ["2026-05-02T25:00", "not an ISO 8601"],
  ["yesterday", "not an ISO 8601"],
])("taken_at %s is rejected: %s", (takenAt, reason) => {
  expect(reasons(`lane,point,volts,taken_at\n1,pod,4.9,${takenAt}`).join()).toContain(reason);
});

test.each([
  ["device", "touchpda", "did you mean 'touchpad'?"],
  ["meter", "dek", "did you mean 'deck'?"],
  ["meter_on", "perhaps", "neither yes nor no"],
  ["state", "open", "none of rest, pressed, moved, struck"],
])("%s %s is rejected: %s", (column, value, reason) => {
  expect(reasons(`lane,point,volts,${column}\n1,pod,4.9,${value}`).join()).toContain(reason);
});

test("all that is wrong with a row is said at once, with the row's own text", () => {
  const { rejected } = read("lane,point,volts\n1,pod,4.9\n11,podd,x\n");
  expect(rejected).toHaveLength(1);
  expect(rejected[0]).toMatchObject({
    file: "readings.csv",
    line: 3,
    kind: "lane",
    text: "11,podd,x",
    fields: { lane: "11", point: "podd", volts: "x" },
  });
  expect(rejected[0]?.reason.split("; ").length).toBeGreaterThanOrEqual(3);
});

test.each([
  ["lane,point\n1,pod", "no column volts; found 'lane', 'point'"],
  [
    "lane,pint,volts\n1,pod,4.9",
    "no column point; found 'lane', 'pint', 'volts'; did you mean 'pint'",
  ],
  ["a,b,c\n1,2,3", "no column lane, no column point, no column volts (or, in a wide sheet"],
  ["lane,point,volts,Volts\n1,pod,4,4", "two columns for volts"],
  ["", "is empty"],
  ["\n\n \n", "is empty"],
  ["\0\x01", "is not text"],
])("a sheet that can't be read is one fault", (text, message) => {
  const { faults, readings, rejected } = read(text);
  expect([readings, rejected]).toEqual([[], []]);
  expect(faults).toHaveLength(1);
  expect(`${faults[0]?.place} ${faults[0]?.message}`).toContain(message);
  expect(faults[0]?.message.length).toBeLessThan(500);
});

test("10 MB on one line, as header or behind it, is one fault", () => {
  const long = "x".repeat(10_000_000);
  expect(read(long).faults[0]?.message).toContain("no header row");
  expect(read(`lane,point,volts\n1,pod,4.9\n${long}`).faults[0]?.place).toBe("line 3");
});

test("one place's one value at one moment is one reading, whatever else the row says", () => {
  const row = "1,pod,4.9,2026-05-02T10:00";
  const { readings, rejected, rows, warnings } = read(
    `lane,point,volts,taken_at,note\n${row}\n2,pod,4.9,2026-05-02T10:00\n${row}:00,again\n`,
  );
  expect([readings.length, rejected.length]).toEqual([2, 0]);
  expect(rows).toEqual({ in: 3, used: 2, rejected: 0, repeats: 1 });
  expect(warnings[0]).toMatchObject({ place: "line 4" });
  expect(warnings[0]?.message).toBe("the same reading as line 2: counted once");
});

test("without times a value read again is a second reading, with a warning", () => {
  const { readings, rejected, warnings } = read(
    "lane,point,volts\n1,pod,4.9\n1,pod,4.9\n2,pod,4.9",
  );
  expect([readings.length, rejected.length]).toEqual([3, 0]);
  expect(readings.map(({ line }) => line)).toEqual([2, 3, 4]);
  expect(warnings[0]).toMatchObject({ place: "line 3" });
});

test("without times a whole sheet that comes twice was pasted twice", () => {
  const rows = [1, 2, 3, 4, 5, 6, 7, 8].map((lane) => `${lane},pod,4.9\n`).join("");
  const sheet = read(`lane,point,volts\n${rows}${rows}${rows}1,plate,4.9\n`);
  expect(sheet.rows).toEqual({ in: 25, used: 9, rejected: 0, repeats: 16 });
  expect(sheet.readings).toHaveLength(9);
  expect(sheet.warnings[0]?.message).toContain("and 15 more like it");
});

test("a stray quotation mark costs its own row only", () => {
  const text = 'lane,point,volts,note\n1,pod,4.9,"sticky\n2,pod,4.8,\n3,pod,4.7,"fine"\n4,pod,4.6,';
  expect(reasons(text)).toEqual([
    "line 2: a quotation mark opens here and does not close before the next row",
  ]);
  expect(read(text).readings.map(({ line, note }) => `${line} ${note}`)).toEqual([
    "3 null",
    "4 fine",
    "5 null",
  ]);
});

test("a quoted note may hold line breaks, and lines are counted as the editor counts them", () => {
  const text = 'lane,point,volts,note\r\n1,pod,4.9,"wet\r\nand cold"\r\n2,pod,x,\r\n';
  expect(read(text).readings[0]?.note).toBe("wet\r\nand cold");
  expect(reasons(text)).toEqual(["line 4: volts is 'x': not a number"]);
});

const cell = fc.oneof(
  fc.constantFrom(
    "1",
    "8",
    "9",
    "pod",
    "plate",
    "touchpad",
    "4.91",
    "4,9l",
    "0.00",
    "",
    "2026-05-02",
  ),
  fc.string({ unit: "binary", maxLength: 6 }),
);
const plainLine = fc
  .array(
    cell.map((text) => text.replaceAll(/["\r\n]/g, "")),
    { maxLength: 6 },
  )
  .map((cells) => cells.join(","));
const isRow = (line: string): boolean => line.replaceAll(/[,"\s\uFEFF]/g, "") !== "";

test("any rows in: readings plus rejects is their number", () => {
  fc.assert(
    fc.property(fc.array(plainLine, { maxLength: 30 }), (lines) => {
      const { readings, rejected, faults } = read(`lane,point,volts,device\n${lines.join("\n")}`);
      expect(faults).toEqual([]);
      // Counted by this test's own splitting: a line with anything but commas and blanks is a row.
      const rows = lines.filter((line) => line.split(",").some((text) => text.trim() !== ""));
      expect(readings.length + rejected.length).toBe(rows.length);
    }),
    { numRuns: 300 },
  );
});

test("any cells in a wide sheet: readings plus rejects is the number of cells of volts", () => {
  const row = fc.tuple(fc.constantFrom("1", "9", "x"), cell, cell, cell);
  fc.assert(
    fc.property(fc.array(row, { maxLength: 20 }), (rows) => {
      const quote = (text: string): string => `"${text.replaceAll('"', '""')}"`;
      const lines = rows.map((cells) => cells.map(quote).join(","));
      const { readings, rejected } = read(`lane,timer,plate,pod\n${lines.join("\n")}`);
      const cells = rows.map(([, ...volts]) => volts.filter((text) => text.trim() !== "").length);
      const lone = rows.filter(([lane], i) => lane !== "1" && cells[i] === 0).length;
      const swallowed = rows.some((cells) => cells.some((text) => /[\r\n]/.test(text)));
      fc.pre(!swallowed);
      expect(readings.length + rejected.length).toBe(cells.reduce((a, b) => a + b, 0) + lone);
    }),
    { numRuns: 300 },
  );
});

test("any text at all: no crash, and no line of it comes out twice or is passed over", () => {
  const piece = fc.oneof(cell, fc.constantFrom('"', '""', ",", "\n", "\r\n", "\r", ",pod,4.9\n1"));
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 60 }), (pieces) => {
      const text = pieces.join("");
      const { readings, rejected, faults } = read(`lane,point,volts,device\n${text}`);
      const isText = !text.includes("\0");
      if (faults.length > 0) return;
      const starts = [...readings, ...rejected].map(({ line }) => line).sort((a, b) => a - b);
      expect(new Set(starts).size).toBe(starts.length);
      const lines = text.split(/\r\n|\n|\r/);
      expect(starts.every((line) => line >= 2 && line <= lines.length + 1)).toBe(true);
      // A row holds its own line and, where it has a quotation mark, the lines up to the next row.
      lines.forEach((line, i) => {
        const start = starts.findLast((one) => one <= i + 2);
        const own = start === i + 2;
        const within =
          start !== undefined &&
          lines
            .slice(start - 2, i + 1)
            .join("\n")
            .includes('"');
        expect(own || within || !isRow(line) || !isText).toBe(true);
      });
    }),
    { numRuns: 500 },
  );
});

test("any bytes at all as a whole file: no crash", () => {
  fc.assert(
    fc.property(fc.string({ unit: "binary", maxLength: 200 }), (text) => {
      const { readings, faults } = read(text);
      expect(readings.length === 0 || faults.length === 0).toBe(true);
    }),
    { numRuns: 300 },
  );
});

test("the order of columns and of rows changes no reading", () => {
  const rows = fc.array(fc.tuple(fc.integer({ min: 1, max: 8 }), fc.integer({ min: 0, max: 500 })));
  fc.assert(
    fc.property(rows, (pairs) => {
      const one = pairs.map(([lane, v]) => `${lane},pod,${v / 100}`).join("\n");
      const other = pairs.map(([lane, v]) => `${v / 100};${lane};pod`).join("\n");
      const { readings } = read(`lane,point,volts\n${one}`);
      expect(read(`volts;lane;point\n${other}`).readings).toEqual(readings);
    }),
    { numRuns: 100 },
  );
});

test("a lane written once for its rows counts for the blank cells under it", () => {
  const text =
    "Lane,Device,Point,Volts\n3,touchpad,timer,5.00\n,,harness,4.98\n,button-1,pod,4.9o\n" +
    ",,plate,4.97\nL4,,pod,4.9\n5.,,pod,4.8\n";
  expect(shown(text)).toEqual([
    "3 touchpad timer 5",
    "3 touchpad harness 4.98",
    "3 button-1 plate 4.97",
    "4 touchpad pod 4.9",
    "5 touchpad pod 4.8",
  ]);
  // Taken out from under its merged cell, a rejected row carries the lane along.
  expect(read(text).rejected[0]?.fields).toMatchObject({ Lane: "3", Device: "button-1" });
});

test.each([
  ["24/08/2026", "2026-08-24"],
  ["21.9.2026 08:01", "2026-09-21T08:01"],
  ["2026/8/24 8:01 PM", "2026-08-24T20:01"],
  ["24 Aug 2026", "2026-08-24"],
  ["August 24, 2026 12:05 am", "2026-08-24T00:05"],
  ["Mo, 24. August 2026", "2026-08-24"],
  ["5/5/2026", "2026-05-05"],
])("a date that can be read one way is read: %s", (date, iso) => {
  const { readings } = read(`lane;point;volts;taken_at\n1;pod;4.9;${date}\n`);
  expect(readings[0]?.takenAt?.text).toBe(iso);
});

test("one date that can be read one way tells how the sheet's others are meant", () => {
  const rows = ["1,pod,4.9,03/04/2026", "2,pod,4.9,24/04/2026", "3,pod,4.9,05/04/2026"];
  const sheet = (lines: readonly string[]) => `lane,point,volts,taken_at\n${lines.join("\n")}\n`;
  const days = read(sheet(rows)).readings.map(({ takenAt, line }) => [line, takenAt?.day]);
  expect(days).toEqual([
    [2, "2026-04-03"],
    [3, "2026-04-24"],
    [4, "2026-04-05"],
  ]);
  const open = read(sheet([rows[0]!, rows[2]!]));
  expect(open.readings).toEqual([]);
  expect(open.faults[0]?.message).toBe(
    "has dates such as 03/04/2026: is the day first or the month? " +
      "Say it with --dates dmy or --dates mdy",
  );
});

test("titles above the headings are passed over, and it is said", () => {
  const { readings, warnings } = read(
    'Kestrel Bay\n"Walk, morning"\n\nlane;"volts\n(mV)";point\n1;4910;pod\n',
  );
  expect(readings).toMatchObject([{ volts: 4.91, line: 6 }]);
  expect(warnings[0]?.message).toBe("2 lines stand above the headings and are taken for a title");
});

test("a reading with an id is the same wherever it turns up, two ids are two readings", () => {
  const head = "lane,point,volts,taken_at,id\n";
  const row = (id: string, volts = "4.9") => `1,pod,${volts},2026-05-02T10:00,${id}\n`;
  expect(read(head + row("a") + row("a", "4.8")).rows.repeats).toBe(1);
  expect(read(head + row("a") + row("b")).rows.repeats).toBe(0);
  expect(read(head + row("a") + row("")).rows.repeats).toBe(1);
});

test("millivolts with three decimals may be volts: nobody can tell", () => {
  const { readings, rejected } = read("lane,point,volts (mV)\n1,pod,4.910\n2,pod,4910\n");
  expect([readings.length, rejected.length]).toEqual([1, 1]);
});

test("a row cut short at the end, as a power cut leaves it, is not used", () => {
  const head = "walk,lane,point,volts,by\r\n";
  const { readings, rejected } = read(`${head}a,1,pod,4.91,"KM"\r\na,2,pod,4.`);
  expect(readings).toHaveLength(1);
  expect(rejected[0]).toMatchObject({ kind: "torn", line: 3, text: "a,2,pod,4." });
});

test("15,000 headings that repeat take no time", () => {
  const header = `lane,point,volts${",note".repeat(15_000)}`;
  const start = performance.now();
  const { readings } = read(`${header}\n${"1,pod,4.9\n".repeat(3)}`);
  expect(readings.length).toBeGreaterThan(0);
  expect(performance.now() - start).toBeLessThan(3000);
});
