import { expect, test } from "vitest";
import {
  diagnose,
  next,
  openPool,
  poolOf,
  reading,
  readSheet,
  tell,
  walkOf,
  walksOf,
} from "../../src/analyze.ts";
import { Misuse, type MisuseCode } from "../../src/domain/misuse.ts";

const opened = openPool("pool: K\nmodel: plain\nlanes: 2\ndevices: [touchpad, button-1]\n");
if (!opened.ok) throw new Error("the pool file is wrong");
const pool = opened.value;
const one = reading(pool, { lane: 1, point: "pod", volts: 4.97 });

/** The code of what a call throws; null where it throws nothing of ours. */
function codeOf(call: () => unknown): MisuseCode | null {
  try {
    call();
    return null;
  } catch (error) {
    if (error instanceof Misuse) return error.code;
    throw error;
  }
}

test("a reading is made from where and what, the rest as an empty cell of a sheet", () => {
  const [read] = readSheet("lane,point,volts,walk\n1,pod,4.97,walk\n", pool).readings;
  expect({ ...one, line: 2 }).toEqual(read);
  expect(reading(pool, { lane: 2, device: "button-1", point: "pod", volts: 0 }).lane).toBe(2);
});

test("misuse has a name of its own, and no call answers it in silence", () => {
  const other = { ...one, walk: "another" };
  expect(codeOf(() => walkOf(pool, [one, other]))).toBe("mixed-walks");
  for (const call of [diagnose, next, tell]) {
    expect(codeOf(() => call({ pool, walk: "walk", readings: [one, other] }))).toBe("mixed-walks");
    // @ts-expect-error readings alone are no walk
    expect(codeOf(() => call([one]))).toBe("not-a-walk");
  }
  expect(codeOf(() => diagnose(walkOf(pool, [])))).toBe("no-readings");
  expect(codeOf(() => tell(walkOf(pool, [])))).toBe("no-readings");
  expect(codeOf(() => next(walkOf(pool, [])))).toBe(null);
  for (const volts of [Number.NaN, Number.POSITIVE_INFINITY, -1])
    expect(codeOf(() => reading(pool, { lane: 1, point: "pod", volts }))).toBe(
      "volts-out-of-range",
    );
  expect(codeOf(() => reading(pool, { lane: 9, point: "pod", volts: 5 }))).toBe("unknown-circuit");
  expect(codeOf(() => reading(pool, { point: "pod", volts: 5 }))).toBe("unknown-circuit");
  expect(codeOf(() => reading(pool, { lane: 1, point: "pot", volts: 5 }))).toBe("unknown-point");
  const meter = "attic";
  expect(codeOf(() => reading(pool, { lane: 1, point: "pod", volts: 5, meter }))).toBe(
    "unknown-meter",
  );
  expect(() => walkOf(pool, [one, other])).toThrow("walk, another");
});

test("a pool is made from what its file would say, and is the same", () => {
  const known = { pool: "K", model: "plain", lanes: 2, devices: ["touchpad", "button-1"] };
  expect(poolOf(known)).toEqual(pool);
  expect(codeOf(() => poolOf({ ...known, lanes: -1 }))).toBe("not-a-pool");
  expect(() => poolOf({ ...known, devices: [], misread: 2 })).toThrow(/devices.*misread/);
});

test("walks come in the order of time, however the rows stand", () => {
  const rows = "1,pod,4.9,2026-05-09\n2,pod,4.8,2026-05-02\n1,pod,4.9,2026-05-02\n";
  const { readings } = readSheet(`lane,point,volts,taken_at\n${rows}`, pool);
  const walks = walksOf(pool, readings);
  expect(walks.map((one) => [one.walk, one.readings.length])).toEqual([
    ["2026-05-02", 2],
    ["2026-05-09", 1],
  ]);
});
