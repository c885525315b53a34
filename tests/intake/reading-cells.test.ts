import { describe, expect, test } from "vitest";
import type { Pool } from "../../src/domain/pool.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { baseName } from "../../src/intake/reading-row.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

/** Lanes 0 to 9, pads at both ends of 3 to 6, a platform stacked on button-1 of 4 and 5, a start. */
const pool = tenLanes();

const read = (header: string, rows: readonly string[], of: Pool = pool) =>
  readReadings([header, ...rows, ""].join("\n"), of, "may.csv");
/** Kinds of what is wrong with each row, "" where it is read. */
const kinds = (header: string, ...rows: readonly string[]): string[] => {
  const { readings, rejected } = read(header, rows);
  const wrong = new Map(rejected.map(({ line, kind }) => [line, kind]));
  expect(readings.length + rejected.length).toBe(rows.length);
  return rows.map((_, k) => wrong.get(k + 2) ?? "");
};
const where = (header: string, ...rows: readonly string[]): string[] =>
  read(header, rows).readings.map(({ lane, device, end }) => `${lane} ${device} ${end}`);
const when = (header: string, ...rows: readonly string[]): (string | null)[] =>
  read(header, rows).readings.map(({ takenAt }) => takenAt?.text ?? null);

test.each([
  ["readings/2026-05-02.csv", "2026-05-02"],
  ["C:\\sheets\\may walk.csv", "may walk"],
  ["2026.05.02.csv", "2026.05.02"],
  ["a/b.c/may", "may"],
  [".csv", ".csv"],
  ["a/", "a/"],
])("the file %j is the walk %j", (file, walk) => {
  expect(baseName(file)).toBe(walk);
});

describe("volts", () => {
  test.each([
    ["0", ""],
    ["0.00", ""],
    ["4.91", ""],
    // One and a half times the supply of 5 V, and no more.
    ["7.5", ""],
    ["7.51", "too-high"],
    ["-0.01", "negative"],
    ["x", "not-a-number"],
    ["", "blank"],
  ])("%j: %j", (text, kind) => {
    expect(kinds("lane,point,volts", `1,pod,${text}`)).toEqual([kind]);
  });

  test("of several supplies the highest says what is too high", () => {
    const two = madePool({
      ...{ pool: "x", lanes: 2, devices: ["touchpad"] },
      supplies: [
        { name: "A", emf: 5, lanes: [1] },
        { name: "B", emf: 8, lanes: [2] },
      ],
    });
    const { readings, rejected } = read("lane,point,volts", ["1,pod,11.9", "2,pod,12.1"], two);
    expect(readings.map(({ volts }) => volts)).toEqual([11.9]);
    expect(rejected.map(({ kind }) => kind)).toEqual(["too-high"]);
    expect(rejected[0]!.reason).toContain("12 V");
  });

  test.each([
    ["491", "4.91"],
    ["4,9l", "4.91"],
    ["7.4l", "7.41"],
    ["-4.91", "4.91"],
  ])("what was meant by %j", (text, meant) => {
    const [reject] = read("lane;point;volts", [`1;pod;${text}`]).rejected;
    expect(reject!.reason).toContain(`did you mean ${meant}?`);
  });
});

describe("other cells", () => {
  test.each([
    ["meter_on", "maybe", "meter-on"],
    ["meter_on", "Yes", ""],
    ["state", "wet", "state"],
    ["state", "At rest", ""],
    ["taken_at", "then", "taken-at"],
    ["taken_at", "2026-05-02", ""],
    ["meter", "bench", "meter"],
    ["meter", "Deck", ""],
    ["end", "middle", "end"],
  ])("%s %j: %j", (heading, text, kind) => {
    expect(kinds(`lane,point,volts,${heading}`, `3,pod,4.9,${text}`)).toEqual([kind]);
  });

  test("a blank point is told as such", () => {
    const { rejected } = read("lane,point,volts", ["3,,4.9"]);
    expect(rejected[0]).toMatchObject({ kind: "point", reason: "point is blank" });
  });

  test("a note keeps its lines, a name has one", () => {
    const { readings } = readReadings(
      'lane,point,volts,by,note\n3,pod,4.9,"R.\nQ.","wet\nfloor"\n4,pod,4.9,,\n',
      pool,
      "may.csv",
    );
    expect(readings.map(({ by, note }) => [by, note])).toEqual([
      ["R. Q.", "wet\nfloor"],
      [null, null],
    ]);
  });
});

describe("where: a lane written once for its rows", () => {
  const header = "lane,device,end,point,volts";
  test("each row's own cells where it has a lane", () => {
    expect(
      where(
        header,
        "3,touchpad,start,pod,4.9",
        "3,touchpad,turn,pod,4.9",
        "3,button-1,start,pod,4.9",
        "4,button-1,start,pod,4.9",
        "3,button-1,,pod,4.9",
      ),
    ).toEqual([
      "3 touchpad start",
      "3 touchpad turn",
      "3 button-1 start",
      "4 button-1 start",
      "3 button-1 start",
    ]);
  });

  test("a blank lane is the one above, with its device and end unless the row has its own", () => {
    expect(
      where(
        header,
        "3,touchpad,turn,pod,4.9",
        ",,,plate,4.9",
        ",,start,pod,4.9",
        ",button-1,,pod,4.9",
        ",,,pod,4.9",
      ),
    ).toEqual([
      "3 touchpad turn",
      "3 touchpad turn",
      "3 touchpad start",
      // Another device is at its own first end.
      "3 button-1 start",
      "3 button-1 start",
    ]);
  });

  test("a device of no lane takes none from above, and gives none", () => {
    expect(where(header, "3,touchpad,turn,pod,4.9", ",start,,timer,4.9", ",,,pod,4.9")).toEqual([
      "3 touchpad turn",
      "null start null",
      "3 touchpad turn",
    ]);
  });

  test("nothing above, nothing known", () => {
    expect(kinds(header, ",,,pod,4.9", ",horn,,pod,4.9", "3,,,pod,4.9")).toEqual([
      "lane",
      "device",
      "",
    ]);
  });
});

describe("when: a moment, or a date and a time", () => {
  test.each([
    ["taken_at", "2026-05-02T10:15", "2026-05-02T10:15"],
    ["date,time", "2026-05-02,10:15", "2026-05-02T10:15"],
    ["date,time", "2026-05-02,", "2026-05-02"],
    ["date,time", ",", null],
    ["taken_at,date,time", "2026-05-02T10:15,2026-05-03,11:00", "2026-05-02T10:15"],
    ["taken_at,date,time", ",2026-05-03,11:00", "2026-05-03T11:00"],
  ])("%s: %s is %s", (headings, cells, moment) => {
    expect(when(`lane,point,volts,${headings}`, `3,pod,4.9,${cells}`)).toEqual([moment]);
  });

  test("a day written once for its rows counts under it, a moment does not", () => {
    expect(
      when(
        "lane,point,volts,taken_at",
        "1,pod,4.9,2026-05-02",
        "2,pod,4.9,",
        "3,pod,4.9,2026-05-03T10:00",
        "4,pod,4.9,",
      ),
    ).toEqual(["2026-05-02", "2026-05-02", "2026-05-03T10:00", null]);
  });

  test("so does a date beside times, and a time alone is of it", () => {
    expect(
      when(
        "lane,point,volts,date,time",
        "1,pod,4.9,2026-05-02,10:00",
        "2,pod,4.9,,10:05",
        "3,pod,4.9,,",
        "4,pod,4.9,2026-05-03,",
        "5,pod,4.9,,09:00",
      ),
    ).toEqual([
      "2026-05-02T10:00",
      "2026-05-02T10:05",
      "2026-05-02",
      "2026-05-03",
      "2026-05-03T09:00",
    ]);
  });

  test("a row that names its walk takes no day from above", () => {
    const { readings } = read("lane,point,volts,taken_at,walk", [
      "1,pod,4.9,2026-05-02,",
      "2,pod,4.9,,before",
      "3,pod,4.9,,",
    ]);
    expect(readings.map(({ walk, takenAt }) => [walk, takenAt?.text ?? null])).toEqual([
      ["2026-05-02", "2026-05-02"],
      ["before", null],
      ["2026-05-02", "2026-05-02"],
    ]);
  });

  test("nor does a day count under what was no day", () => {
    const { readings, rejected } = read("lane,point,volts,taken_at", [
      "1,pod,4.9,2026-05-02",
      "2,pod,4.9,then",
      "3,pod,4.9,",
    ]);
    expect(rejected.map(({ line }) => line)).toEqual([3]);
    expect(readings.map(({ walk }) => walk)).toEqual(["2026-05-02", "may"]);
  });
});
