import { expect, test } from "vitest";
import { diagnose, next, openPool, reading, readSheet, tell } from "../../src/analyze.ts";
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
  for (const call of [diagnose, next, tell])
    expect(codeOf(() => call(pool, [one, other]))).toBe("mixed-walks");
  expect(codeOf(() => diagnose(pool, []))).toBe("no-readings");
  expect(codeOf(() => tell(pool, []))).toBe("no-readings");
  expect(codeOf(() => next(pool, []))).toBe(null);
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
  expect(() => diagnose(pool, [one, other])).toThrow("walk, another");
});
