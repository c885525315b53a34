import { expect, test } from "vitest";
import { withWalkNames } from "../../src/domain/walk-names.ts";
import { KeptReadings } from "../../src/intake/kept-readings.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";

/** The contract of the files: a sheet's own id, else the readings between two works or two silences of 6 hours. */
const opened = readPool("pool: K\nmodel: plain\nlanes: 4\ndevices: [touchpad]\n", "pool.yaml");
if (!opened.ok) throw new Error("the pool file is wrong");
const pool = opened.value;

/** Walks by `lane time` rows, as both keepers of readings tell them. */
function walks(rows: readonly string[], works: readonly string[] = [], id = ""): string[] {
  const cells = rows.map((row) => row.split(" "));
  const text = cells.map(([lane, at]) => `${lane},pod,4.97,${at},${id}`).join("\n");
  const { readings } = readReadings(`lane,point,volts,taken_at,walk\n${text}\n`, pool, "r.csv");
  const log = works.map((row) => row.replace(" ", ",")).join("\n");
  const { entries } = readWorkLog(`lane,done_at,point,action\n${log}\n`, pool, "work.csv");
  const named = withWalkNames(readings, pool, entries);
  const kept = new KeptReadings();
  for (const one of readings) kept.add(one);
  kept.nameWalks(pool, entries);
  const byKept = kept.walks().flatMap(({ readings: own }) => [...own()]);
  expect(byKept.toSorted((a, b) => a.line - b.line)).toEqual(named);
  return named.map(({ walk }) => walk);
}

test("midnight ends nothing, a silence of six hours does", () => {
  const late = ["1 2026-05-02T23:50", "2 2026-05-03T00:20", "3 2026-05-03T06:19"];
  expect(new Set(walks(late))).toEqual(new Set(["2026-05-02"]));
  expect(walks([...late, "4 2026-05-03T12:20"])).toEqual([
    ...["2026-05-02", "2026-05-02", "2026-05-02"],
    "2026-05-03",
  ]);
});

test("two walks of one day are two, the second called by its time as well", () => {
  expect(walks(["1 2026-05-02T07:00", "1 2026-05-02T14:05"])).toEqual([
    "2026-05-02",
    "2026-05-02T14:05",
  ]);
});

test("a work ends the walk where what it touched is read again", () => {
  const cleaned = ["1 2026-05-02T10:30:00,plate,cleaned"];
  const again = ["1 2026-05-02T10:00", "2 2026-05-02T10:10", "1 2026-05-02T10:40"];
  expect(walks(again, cleaned)).toEqual(["2026-05-02", "2026-05-02", "2026-05-02T10:40"]);
  const others = ["1 2026-05-02T10:00", "2 2026-05-02T10:10", "3 2026-05-02T10:40"];
  expect(new Set(walks(others, cleaned)).size).toBe(1);
});

test("an id of the sheet's own stands, and so does a day without a time", () => {
  expect(new Set(walks(["1 2026-05-02T07:00", "1 2026-05-09T14:05"], [], "spring")).size).toBe(1);
  expect(walks(["1 2026-05-02", "2 2026-05-02"])).toEqual(["2026-05-02", "2026-05-02"]);
});

test("rows in any order give the walks of their times", () => {
  expect(walks(["1 2026-05-02T14:05", "1 2026-05-02T07:00"])).toEqual([
    "2026-05-02T14:05",
    "2026-05-02",
  ]);
});

test("walks that begin in one minute are walks apart", () => {
  const works = [
    "1 2026-05-02T10:00:10,pod,cleaned",
    "1 2026-05-02T10:00:30,pod,reseated",
    "1 2026-05-02T10:00:50,pod,replaced",
  ];
  const seconds = ["05", "20", "40", "55"];
  expect(
    walks(
      seconds.map((second) => `1 2026-05-02T10:00:${second}`),
      works,
    ),
  ).toEqual([
    ...["2026-05-02", "2026-05-02T10:00"],
    ...["2026-05-02T10:00:40", "2026-05-02T10:00:55"],
  ]);
});
