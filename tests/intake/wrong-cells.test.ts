import { describe, expect, test } from "vitest";
import type { Reject } from "../../src/domain/reading.ts";
import { readMeterSheet } from "../../src/intake/read-meter-sheet.ts";
import { readPads } from "../../src/intake/read-pads.ts";
import { readParts } from "../../src/intake/read-parts.ts";
import { readTouches } from "../../src/intake/read-touches.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

/** Lanes 0 to 9. */
const pool = tenLanes();

type Read =
  | { readonly ok: true; readonly value: { readonly rejected: readonly Reject[] } }
  | { readonly ok: false; readonly error: { readonly message: string } };

/** What a sheet of one row says of it: the kind of its first slip and all reasons; null: it is read. */
const said = (read: Read): readonly [string, string] | null => {
  if (!read.ok) throw new Error(read.error.message);
  const [reject] = read.value.rejected;
  return reject === undefined ? null : [reject.kind, reject.reason];
};
const work = (text: string): Read => {
  const { rejected, faults } = readWorkLog(text, pool, "work.csv");
  return faults.length > 0 ? { ok: false, error: faults[0]! } : { ok: true, value: { rejected } };
};

type Row = readonly [row: string, kind: string | null, words: string];

const sheets: readonly (readonly [string, (row: string) => Read, readonly Row[]])[] = [
  [
    "touches.csv",
    (row: string) =>
      readTouches(`lane,kind,tried,registered,place,taken_at\n${row}\n`, pool, "touches.csv"),
    [
      ["3,fingertip,5,4,,", null, ""],
      ["3,fingertip,5,4,left,2026-05-02T10:00", null, ""],
      ["12,fingertip,5,4,,", "lane", "'12'"],
      ["3,elbow,5,4,,", "kind", "kind is 'elbow': one of fingertip, open-hand"],
      ["3,fingertip,5,4,corner,", "place", "place is 'corner'"],
      ["3,fingertip,4,5,,", "presses", "registered is '5' of tried '4'"],
      ["3,fingertip,5,,,", "presses", "registered is '' of tried '5'"],
      ["3,fingertip,0,0,,", "presses", "registered is '0' of tried '0'"],
      ["3,fingertip,1001,0,,", "presses", "'1001'"],
      ["3,fingertip,5,4,,then", "taken-at", "taken_at is 'then': not an ISO 8601"],
      ["12,fingertip,4,5,,", "lane", "; registered is '5' of tried '4'"],
      ["3,elbow,4,5,corner,then", "kind", "; place is 'corner'"],
    ],
  ],
  [
    "parts.csv",
    (row: string) => readParts(`part,where,since\n${row}\n`, "parts.csv"),
    [
      ["P1,spare,", null, ""],
      ["P1,gone,2026-05-02", null, ""],
      [",spare,", "part", "part is blank"],
      ["P1,,", "where", "where is blank"],
      [",,2026-05-02", "part", "part is blank: the tag of the part; where is blank"],
      ["P1,spare,then", "since", "since is 'then': not an ISO 8601"],
    ],
  ],
  [
    "pads.csv",
    (row: string) =>
      readPads(`taken_at,water_c,strokes,lane,soaked_minutes\n${row}\n`, pool, "pads.csv"),
    [
      ["2026-05-02,26,5,3,30", null, ""],
      ["2026-05-02,26,0,,0", null, ""],
      ["2026-05-02,26,500,,10080", null, ""],
      [",26,,,", "taken-at", "taken_at is blank"],
      ["then,26,,,", "taken-at", "taken_at is 'then': not an ISO 8601"],
      ["2026-05-02,26,,12,", "lane", "'12'"],
      ["2026-05-02,26,501,,", "strokes", "from 0 to 500"],
      ["2026-05-02,26,,,10081", "soaked", "soaked_minutes is '10081'"],
      ["2026-05-02,26,,,-1", "soaked", "soaked_minutes is '-1'"],
    ],
  ],
  [
    "a meter's sheet",
    (row: string) => readMeterSheet(`volts,ohms,point,by\n${row}\n`, "meter.csv"),
    [
      ["4.9,47,,", null, ""],
      ["4.9,,pod,RQ", null, ""],
      ["60,47,,", null, ""],
      ["60.1,47,,", "volts", "over 60 V"],
      ["0,47,,", "volts", "volts is 0: the path was open or the meter off"],
      ["-4.9,47,,", "volts", "negative"],
      [",47,,", "volts", "volts is empty"],
      ["4.9l,47,,", "volts", "not a number; did you mean 4.91?"],
      ["wet,47,,", "volts", "not a number"],
      ["4.9,many,,", "ohms", "ohms is 'many': not a resistance"],
      ["4.9,2m,,", "ohms", "ohms is '2m': not a resistance"],
      ["4.9,,,RQ", "blank", "neither ohms nor point is filled in"],
    ],
  ],
  [
    "work.csv",
    (row: string) => work(`done_at,lane,point,action,minutes,cost\n${row}\n`),
    [
      ["2026-05-02,3,pod,cleaned,5,0", "device", "pod"],
      ["2026-05-02,3,harness,cleaned,5,0", null, ""],
      ["2026-05-02,3,harness,Replace,,12.50", null, ""],
      [",3,harness,cleaned,,", "done-at", "done_at is blank"],
      ["then,3,harness,cleaned,,", "done-at", "done_at is 'then': not an ISO 8601"],
      ["2026-05-02,3,harnes,cleaned,,", "point", "did you mean 'harness'?"],
      ["2026-05-02,3,harness,cleand,,", "action", "did you mean 'cleaned'?"],
      ["2026-05-02,3,harness,constructor,,", "action", "allowed are cleaned, replaced, reseated"],
      ["2026-05-02,3,harness,cleaned,long,", "minutes", "minutes is 'long': not a number"],
      ['2026-05-02,3,harness,cleaned,,"1,200"', "cost", "may be 1200 or 1.200"],
      ["2026-05-02,3,harness,cleaned,,-4", "cost", "not a number of 0 or more"],
    ],
  ],
];

describe.each(sheets)("%s", (_, read, rows) => {
  test.each(rows)("%s: %s", (row, kind, words) => {
    const found = said(read(row));
    expect(found?.[0] ?? null).toBe(kind);
    expect(found?.[1] ?? "").toContain(words);
  });
});

describe("resistors as people write them", () => {
  test.each([
    ["47", 47],
    ["4,7", 4.7],
    ["0.123456789", 0.123456789],
    [" 100 ohm ", 100],
    ["100 Ohms", 100],
    ["100Ω", 100],
    ["1k", 1000],
    ["2.2 kΩ", 2200],
    ["1 M", 1e6],
    ["1meg", 1e6],
    ["1 MEG ohm", 1e6],
  ])("%j is %d ohm", (text, ohms) => {
    const read = readMeterSheet(`volts;ohms\n4.9;${text}\n`, "meter.csv");
    expect(read.ok && read.value.rows.map((row) => [row.ohms, row.point])).toEqual([
      [ohms, `${ohms} ohm`],
    ]);
  });

  test.each(["x47", "47x", "1234567890", "47 kk", "k"])("%j is none", (text) => {
    const read = readMeterSheet(`volts;ohms\n4.9;${text}\n`, "meter.csv");
    expect(read.ok && read.value.rejected.map(({ kind }) => kind)).toEqual(["ohms"]);
  });

  test("a sheet without rows is a fault of it", () => {
    const read = readMeterSheet("volts,ohms\n", "meter.csv");
    expect(read).toEqual({
      ok: false,
      error: { file: "meter.csv", place: "", message: "has no rows under its header" },
    });
  });

  test("rows in are used and rejected; the step is the finest", () => {
    const read = readMeterSheet("volts,ohms\n4.9,1\n4.91,1\nx,1\n", "meter.csv");
    expect(read.ok && [read.value.counts, read.value.step]).toEqual([
      { in: 3, used: 2, rejected: 1, repeats: 0 },
      0.01,
    ]);
    const none = readMeterSheet("volts,ohms\nx,1\n", "meter.csv");
    expect(none.ok && none.value.step).toBe(0);
  });
});
