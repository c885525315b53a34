import { describe, expect, test } from "vitest";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { roundColumns } from "../../src/intake/round-columns.ts";
import { headingMeaning, readingsKind } from "../../src/intake/sheet-columns.ts";

const pool = madePool({
  ...{ pool: "Kestrel Bay", lanes: 4, devices: ["touchpad", "button-1"] },
  meters: [{ name: "deck" }, { name: "bench" }],
});
const read = (text: string) => readReadings(text, pool, "may.csv");
const warned = (text: string): string[] => read(text).warnings.map(({ message }) => message);

describe("columns that mean nothing are named", () => {
  const of = (names: readonly string[]): string[] =>
    warned(`lane,point,volts,${names}\n1,pod,4.9\n`);
  const many = (count: number) => Array.from({ length: count }, (_, k) => `q${k}`);

  test.each([
    [["colour", "", "battery"], "not used: column 'colour', 'battery'"],
    [["my column 5"], "not used: column 'my column 5'"],
    [["column 5b"], "not used: column 'column 5b'"],
    [["column x"], "not used: column 'column x'"],
    [
      many(12),
      `not used: column ${many(12)
        .map((name) => `'${name}'`)
        .join(", ")}`,
    ],
    [
      many(14),
      `not used: column ${many(12)
        .map((name) => `'${name}'`)
        .join(", ")} and 2 more`,
    ],
  ])("%j", (names, message) => {
    expect(of(names)).toEqual([message]);
  });

  test("a blank one is not, whatever its place, nor are the columns of a round", () => {
    expect(of([""])).toEqual([]);
    expect(of(["note", "", "", "", "", "", "", "", ""])).toEqual([]);
    expect(of([...roundColumns])).toEqual([]);
    expect(of([...roundColumns, "colour"])).toEqual(["not used: column 'colour'"]);
  });

  test("with the line of the headings", () => {
    const [, one] = read("a title\nlane,point,volts,colour\n1,pod,4.9,red\n").warnings;
    expect(one).toMatchObject({ file: "may.csv", place: "line 2" });
  });
});

// The contract: without a time of day the same row in every column is a second reading, and said so.
describe("rows that are the same in every column, and rows that are not", () => {
  const header = "lane,device,point,volts,meter,meter_on,state,by,note,colour\n";
  const first = "1,touchpad,pod,4.9,deck,yes,rest,RQ,wet,red";
  const said = (second: string): boolean =>
    warned(`${header}${first}\n${second}\n`).some((message) =>
      message.startsWith("the same as line 2"),
    );

  test.each([
    [first, true],
    ["1,touchpad,POD,4.9,deck,yes,rest,RQ,wet,red", true],
    ["01,,pod,4.9,,Y,at rest,RQ,wet,red", true],
    ["2,touchpad,pod,4.9,deck,yes,rest,RQ,wet,red", false],
    ["1,button-1,pod,4.9,deck,yes,rest,RQ,wet,red", false],
    ["1,touchpad,plate,4.9,deck,yes,rest,RQ,wet,red", false],
    ["1,touchpad,pod,4.8,deck,yes,rest,RQ,wet,red", false],
    ["1,touchpad,pod,4.9,bench,yes,rest,RQ,wet,red", false],
    ["1,touchpad,pod,4.9,deck,no,rest,RQ,wet,red", false],
    ["1,touchpad,pod,4.9,deck,yes,pressed,RQ,wet,red", false],
    ["1,touchpad,pod,4.9,deck,yes,rest,,wet,red", false],
    ["1,touchpad,pod,4.9,deck,yes,rest,RQ,,red", false],
    ["1,touchpad,pod,4.9,deck,yes,rest,RQ,wet,blue", false],
  ])("%s: %s", (second, same) => {
    expect(said(second)).toBe(same);
    expect(read(`${header}${first}\n${second}\n`).readings).toHaveLength(2);
  });

  test("of another walk or day they are another reading", () => {
    const dated = (...cells: readonly string[]) =>
      warned(
        `lane,point,volts,taken_at,walk\n${cells.map((cell) => `1,pod,4.9,${cell}`).join("\n")}\n`,
      );
    expect(dated("2026-05-02,", "2026-05-03,")).toEqual([]);
    expect(dated(",a", ",b")).toEqual([]);
    expect(dated("2026-05-02,", "2026-05-02,")).toHaveLength(1);
  });

  test("of a wide row its readings are told, its slips stay rejects", () => {
    const { readings, rejected, warnings } = read("lane,plate,pod\n1,4.9,x\n1,4.9,x\n2,x,x\n");
    expect(readings.map(({ line }) => line)).toEqual([2, 3]);
    expect(rejected.map(({ line }) => line)).toEqual([2, 3, 4, 4]);
    expect(warnings.map(({ message }) => message.slice(0, 18))).toEqual(["the same as line 2"]);
  });
});

describe("dates that wait for one that tells", () => {
  test("a row that waited keeps its own text, and the order of the sheet", () => {
    const { readings, rejected } = read(
      "lane,point,volts,taken_at\n1,pod,4.9,03/04/2026\n1,pod,x,05/04/2026\n2,pod,4.8,2026-04-03\n3,pod,4.7,24/04/2026\n",
    );
    expect(readings.map(({ line, takenAt }) => [line, takenAt?.day])).toEqual([
      [2, "2026-04-03"],
      [4, "2026-04-03"],
      [5, "2026-04-24"],
    ]);
    expect(rejected).toMatchObject([{ line: 3, text: "1,pod,x,05/04/2026" }]);
  });

  test("where none tells it is one question, of the sheet", () => {
    const { faults, readings } = read("lane,point,volts,taken_at\n1,pod,4.9,03/04/2026\n");
    expect(faults).toMatchObject([{ file: "may.csv", place: "" }]);
    expect(faults[0]!.message).toContain("03/04/2026");
    expect(readings).toEqual([]);
  });
});

test("a sheet that can't be read says why, and nothing else", () => {
  const { faults, warnings, rows } = read("x,y\n1,2\n");
  expect(faults).toHaveLength(1);
  expect(warnings).toEqual([]);
  expect(rows).toEqual({ in: 0, used: 0, rejected: 0, repeats: 0 });
});

describe("headings", () => {
  test.each([
    ["Pod (mV)", "pod", -3],
    ["plate_mv", "plate", -3],
    ["plate mV", "plate", -3],
    ["Pod [V]", "pod", 0],
    ["pod volt", "pod", 0],
    ["pod millivolts", "pod", -3],
    ["Pod:", "pod", 0],
    ["harness (V) ", "harness", 0],
  ])("%j is the point %s by 10 to the %d", (text, point, exponent) => {
    const columns = readingsKind(pool).columns(["lane", text]);
    expect(columns).toMatchObject({ volts: [{ point, exponent }], layout: "wide" });
  });

  test.each([
    ["mv", -3],
    [" millivolt ", -3],
    ["Volts", 0],
    ["my mv", null],
    ["mvx", null],
    ["volts (mv) x", null],
  ])("%j is volts by 10 to the %d, or none at all", (text, exponent) => {
    const { meaning, exponent: own } = headingMeaning(text);
    expect(meaning === "volts" ? own : null).toBe(exponent);
  });

  test("of eighty letters at most, and how many are known", () => {
    const kind = readingsKind(pool);
    expect(kind.known(["lane", "pod", "colour", "volts", ""])).toBe(3);
    expect(kind.known(["colour"])).toBe(0);
    expect(headingMeaning(`lane${" ".repeat(76)}`).meaning).toBe("lane");
    expect(headingMeaning(`reading${"_".repeat(72)}mv`).exponent).toBe(0);
    expect(headingMeaning(`reading${"_".repeat(71)}mv`)).toEqual({
      meaning: "volts",
      exponent: -3,
    });
  });
});
