import { describe, expect, test } from "vitest";
import { readPads } from "../../src/intake/read-pads.ts";
import { readParts } from "../../src/intake/read-parts.ts";
import { kestrelBay } from "../meet/pool.ts";

const pads = (text: string) => {
  const read = readPads(text, kestrelBay, "pads.csv");
  if (!read.ok) throw new Error(read.error.message);
  return read.value;
};

describe("a heading of water", () => {
  test.each([
    ["Water (°C)", "C"],
    ["water_c", "C"],
    ["Water temperature Celsius", "C"],
    ["water in C", "C"],
    ["Water (F)", "F"],
    ["water fahrenheit", "F"],
    ["WATER_F", "F"],
  ])("%s is %s", (heading, unit) => {
    const warm = unit === "C" ? 27 : 80;
    const { notes } = pads(`taken_at,${heading}\n2026-05-02,${warm}\n`);
    expect(notes).toMatchObject([{ water: warm, unit }]);
  });

  test.each(["water", "waterc", "seawater (c)", "water calm"])("%s says no unit", (heading) => {
    const read = readPads(`taken_at,${heading}\n2026-05-02,27\n`, kestrelBay, "pads.csv");
    expect(!read.ok && read.error.message).toContain(
      "has no column water_c or water_f: the heading must say Celsius or Fahrenheit",
    );
  });
});

describe("a row of water", () => {
  const heads = "taken_at,water_c,water_f,strokes,lane,soaked_minutes,by,note";
  const row = (cells: string) => pads(`${heads}\n${cells}\n`);

  test("as it is", () => {
    const { notes } = row("2026-05-02T08:00:00,26.5,,6,3,90,KM,cold");
    expect(notes).toMatchObject([
      {
        water: 26.5,
        unit: "C",
        strokes: 6,
        lane: 3,
        soakedMinutes: 90,
        by: "KM",
        note: "cold",
        line: 2,
      },
    ]);
    expect(notes[0]!.takenAt.text).toBe("2026-05-02T08:00:00");
    const [bare] = row("2026-05-02,26,,,,,,").notes;
    expect(bare).toMatchObject({
      strokes: null,
      lane: null,
      soakedMinutes: null,
      by: null,
      note: null,
    });
  });

  test("a unit behind the number, and the ends of what is swum in", () => {
    const water = (celsius: string, fahrenheit = "") =>
      row(`2026-05-02,${celsius},${fahrenheit},,,,,`).notes.map((one) => [one.water, one.unit]);
    expect(water("26 °C")).toEqual([[26, "C"]]);
    expect(water("26c")).toEqual([[26, "C"]]);
    expect(water("", "80 °F")).toEqual([[80, "F"]]);
    expect([water("-2"), water("60"), water("", "28"), water("", "140")]).toEqual([
      [[-2, "C"]],
      [[60, "C"]],
      [[28, "F"]],
      [[140, "F"]],
    ]);
    // 26 degrees Celsius are 78.8 Fahrenheit; half a degree of rounding passes.
    expect(water("26", "79.3")).toEqual([[26, "C"]]);
    expect(water("26", "79 F")).toEqual([[26, "C"]]);
    expect(water("26", "79.4")).toEqual([]);
    expect(water("26", "78.2")).toEqual([]);
    expect(water("26", "x")).toEqual([]);
  });

  test.each([
    [",26,,,,,,", "taken_at is blank"],
    ["soon,26,,,,,,", "taken_at is 'soon': not an ISO 8601 date"],
    ["2026-05-02,,,,,,,", "water_f is '': degrees F from 28 to 140"],
    ["2026-05-02,60.1,,,,,,", "water_c is '60.1': degrees C from -2 to 60"],
    ["2026-05-02,-2.1,,,,,,", "water_c is '-2.1': degrees C from -2 to 60"],
    ["2026-05-02,,27,,,,,", "water_f is '27': degrees F from 28 to 140"],
    ["2026-05-02,,141,,,,,", "water_f is '141'"],
    ["2026-05-02,26,90,,,,,", "water_c '26' and water_f '90' are not the same temperature"],
    ["2026-05-02,26,,501,,,,", "strokes is '501': a whole number from 0 to 500"],
    ["2026-05-02,26,,,99,,,", "lane is '99'"],
    ["2026-05-02,26,,,,-1,,", "soaked_minutes is '-1': minutes, 0 or more"],
    ["2026-05-02,26,,,,10081,,", "soaked_minutes is '10081'"],
    ["2026-05-02,26,,,,long,,", "soaked_minutes is 'long'"],
  ])("%s: %s", (cells, reason) => {
    const { notes, rejected } = row(cells);
    expect(notes).toEqual([]);
    expect(rejected[0]!.reason).toContain(reason);
  });

  test("everything that is wrong is said", () => {
    const [only] = row("soon,99,,x,99,x,,").rejected;
    for (const what of ["taken_at", "water_c", "strokes", "lane", "soaked_minutes"])
      expect(only!.reason).toContain(`${what} is`);
  });

  test("the longest soak, the most strokes and none", () => {
    expect(row("2026-05-02,26,,500,,10080,,").notes).toMatchObject([
      { strokes: 500, soakedMinutes: 10_080 },
    ]);
    expect(row("2026-05-02,26,,0,,0,,").notes).toMatchObject([{ strokes: 0, soakedMinutes: 0 }]);
  });
});

describe("a register of parts", () => {
  const parts = (text: string) => {
    const read = readParts(text, "parts.csv");
    if (!read.ok) throw new Error(read.error.message);
    return read.value;
  };

  test("a part as it is; spare and gone in any case", () => {
    const { parts: read } = parts(
      "Part,Kind,Where,Since,Note\nP1,wall plate,lane 3 plate,2026-05-01,new\nP2,,GONE,,\nP3,,Spare,,\n",
    );
    expect(
      read.map(({ tag, kind, where, note, since }) => [tag, kind, where, note, since?.day ?? null]),
    ).toEqual([
      ["P1", "wall plate", "lane 3 plate", "new", "2026-05-01"],
      ["P2", "", "gone", null, null],
      ["P3", "", "spare", null, null],
    ]);
    expect(read.map(({ line }) => line)).toEqual([2, 3, 4]);
  });

  test.each([
    [",,spare,,", "part is blank: the tag of the part"],
    ["P1,,,,", "where is blank: spare, gone, or a place"],
    ["P1,,spare,soon,", "since is 'soon': not an ISO 8601"],
  ])("%s: %s", (cells, reason) => {
    const { parts: read, rejected } = parts(`part,kind,where,since,note\n${cells}\n`);
    expect(read).toEqual([]);
    expect(rejected[0]!.reason).toContain(reason);
  });

  test("a struck row takes the same row back, and nothing else", () => {
    const { parts: read } = parts("part,where,state\nP1,spare,\nP2,spare,\nP1,spare,struck\n");
    expect(read.map(({ tag }) => tag)).toEqual(["P2"]);
  });

  test("a register without its columns is one fault", () => {
    const read = readParts("part,place\nP1,spare\n", "parts.csv");
    expect(!read.ok && read.error.message).toContain("has no column where");
  });
});
