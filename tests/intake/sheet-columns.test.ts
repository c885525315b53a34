import { describe, expect, test } from "vitest";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { headingMeaning, sheetColumns } from "../../src/intake/sheet-columns.ts";

const pool = madePool({ pool: "Kestrel Bay", lanes: 3, devices: ["touchpad"] });
const columns = (...header: readonly string[]) => {
  const found = sheetColumns(header, pool);
  if (typeof found === "string") throw new Error(found);
  return found;
};
const fault = (...header: readonly string[]): string => {
  const found = sheetColumns(header, pool);
  if (typeof found !== "string") throw new Error("columns");
  return found;
};

describe("what a heading means", () => {
  test.each([
    ["lane", "lane"],
    ["Lane no.", "lane"],
    ["LANE_NUMBER:", "lane"],
    ["Device name", "device"],
    ["lane end", "end"],
    ["Test point", "point"],
    ["measuring-point", "point"],
    ["reading", "volts"],
    ["V", "volts"],
    ["Voltage [V]", "volts"],
    ["taken at", "taken_at"],
    ["Timestamp", "taken_at"],
    ["Day", "date"],
    ["clock", "time"],
    ["visit", "walk"],
    ["Multimeter", "meter"],
    ["Switched on", "meter_on"],
    ["switch state", "state"],
    ["Initials", "by"],
    ["reading id", "id"],
    ["Remarks*", "note"],
    ["extra", "extra"],
    ["reason", "reason"],
    ["colour", null],
    ["", null],
    [`lane${" ".repeat(90)}x`, null],
  ])("%j: %j", (text, meaning) => {
    expect(headingMeaning(text).meaning).toBe(meaning);
  });

  test.each([
    ["mV", "volts", -3],
    ["millivolts", "volts", -3],
    ["Reading (mV)", "volts", -3],
    ["value [mV]", "volts", -3],
    ["reading millivolt", "volts", -3],
    ["Reading (V)", "volts", 0],
    ["volts", "volts", 0],
    ["reading_v", "volts", 0],
    ["lane", "lane", 0],
  ])("%j is %j by the power %d of ten", (text, meaning, exponent) => {
    expect(headingMeaning(text)).toEqual({ meaning, exponent });
  });
});

describe("a sheet of one reading a row", () => {
  test("has lane, point and volts, wherever they stand; the rest is found or passed over", () => {
    const found = columns("note", "colour", "mV", "Point", "Lane", "Date");
    expect(found.layout).toBe("long");
    expect(found.at).toMatchObject({ lane: 4, point: 3, date: 5, note: 0 });
    expect(found.volts).toEqual([{ index: 2, exponent: -3, point: null }]);
    expect(found.unknown).toEqual([1]);
    expect(found.names).toEqual(["note", "colour", "mV", "Point", "Lane", "Date"]);
  });

  test("columns named after points are nothing in it", () => {
    expect(columns("lane", "point", "volts", "pod").volts).toHaveLength(1);
  });

  test("a second column for one thing is no sheet, but of notes and names the first counts", () => {
    expect(fault("lane", "Lane no.", "point", "volts")).toContain("two columns for lane");
    expect(columns("lane", "point", "volts", "note", "remark", "by", "who").at).toMatchObject({
      note: 3,
      by: 5,
    });
  });
});

describe("a sheet of one column a point", () => {
  test("has lane and points, each in its unit", () => {
    const found = columns("Lane", "plate_mv", "Pod", "note");
    expect(found.layout).toBe("wide");
    expect(found.volts).toEqual([
      { index: 1, exponent: -3, point: "plate" },
      { index: 2, exponent: 0, point: "pod" },
    ]);
    expect(found.at).toMatchObject({ lane: 0, note: 3 });
  });

  test("a point twice is no sheet", () => {
    expect(fault("lane", "pod", "Pod (V)")).toContain(
      "two columns for the point pod: found 'Pod (V)' again",
    );
  });
});

describe("what is missing", () => {
  test.each([
    [["point", "volts"], "the header has no column lane; found 'point', 'volts'"],
    [["lane", "volts"], "the header has no column point; found 'lane', 'volts'"],
    [
      ["lane", "poynt", "volts"],
      "the header has no column point; found 'lane', 'poynt', 'volts'; did you mean 'poynt' to be point?",
    ],
    [
      ["lane", "colour"],
      "the header has no column point, no column volts (or, in a wide sheet, one column for each point: timer, harness, plate, pod); found 'lane', 'colour'",
    ],
    [["pod"], "the header has no column lane; found 'pod'"],
    [
      ["pod", "Lane 1", "L2"],
      "each lane has a column of its own ('Lane 1', 'L2'): write a row for each lane, and a column lane",
    ],
    [
      ["pod", "Lane 1"],
      "the header has no column lane; found 'pod', 'Lane 1'; did you mean 'Lane 1' to be lane?",
    ],
  ])("%j", (header, words) => {
    expect(fault(...header)).toBe(words);
  });
});
