import { describe, expect, test } from "vitest";
import { zeroRuns } from "../../src/diagnosis/blank-displays.ts";
import { walkOrder } from "../../src/diagnosis/walk-order.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";

/**
 * Worked by hand from the law of the display (off at an age uniform over 90 to 120 s): S(a) = P(on at
 * age a), H(x) = its integral. H(inf) = 105 s; S(100) = 2/3, S(110) = 1/3.
 */
const poolText = `
pool: hand
lanes: 1
devices: [pad]
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02, off_after: [90, 120] }]
`;
const read = readPool(poolText, "pool.yaml");
if (!read.ok) throw new Error("refused");
const pool = read.value;

type Row = readonly [volts: number, seconds: number | null, on?: boolean];
function runs(rows: readonly Row[]) {
  const lines = rows.map(([volts, seconds, on]) => {
    const clock = new Date((seconds ?? 0) * 1000).toISOString().slice(11, 19);
    const at = seconds === null ? "" : `2026-05-02T${clock}Z`;
    return `1,pad,pod,${volts.toFixed(2)},${at},${on ? "yes" : ""}`;
  });
  const text = ["lane,device,point,volts,taken_at,meter_on", ...lines].join("\n");
  const sheet = readReadings(text, pool, "readings.csv");
  expect(sheet.rejected).toEqual([]);
  return zeroRuns(pool, walkOrder(sheet.readings));
}
const chances = (rows: readonly Row[]) => runs(rows).map(({ off }) => off);

describe("without times", () => {
  test("every zero has the pool file's chance, the first reading too", () => {
    expect(
      runs([
        [0, null],
        [4.9, null],
        [0, null],
        [0, null],
      ]),
    ).toEqual([
      { readings: [0], off: [0.0025], stays: 0.5, followed: true },
      { readings: [2, 3], off: [0.0025, 0.0025], stays: 0.5, followed: false },
    ]);
  });

  test("a zero of a meter just switched on is on, and begins a new run", () => {
    expect(
      chances([
        [4.9, null],
        [0, null],
        [0, null, true],
        [0, null],
      ]),
    ).toEqual([[0.0025], [0, 0.0025]]);
  });

  test("one reading without a time makes the walk untimed", () => {
    expect(
      chances([
        [4.9, 0, true],
        [0, 110],
        [4.9, null],
      ]),
    ).toEqual([[0.0025]]);
  });
});

describe("with times", () => {
  test("an age that is known: 0.1 times P(off since the reference)", () => {
    const [[b]] = chances([
      [4.9, 0, true],
      [0, 110],
    ]) as [[number]];
    expect(b).toBeCloseTo(0.1 * (1 - 1 / 3), 12);
  });

  test("a later reading that shows something moves the reference on", () => {
    // On at age 100: P(off by 110 | on at 100) = 1 - (1/3) / (2/3).
    const [[b]] = chances([
      [4.9, 0, true],
      [4.9, 100],
      [0, 110],
    ]) as [[number]];
    expect(b).toBeCloseTo(0.1 * 0.5, 12);
  });

  test("an age that is not known: uniform, given that the display showed", () => {
    // H(30) = 30: the chance to go off within 30 s is 30 / 105.
    const [[b]] = chances([
      [4.9, 0],
      [0, 30],
    ]) as [[number]];
    expect(b).toBeCloseTo((0.1 * 30) / 105, 12);
  });

  test("a second zero counts from the first, given that the display was on there", () => {
    const [[first, second]] = chances([
      [4.9, 0],
      [0, 30],
      [0, 75],
    ]) as [[number, number]];
    expect(first).toBeCloseTo((0.1 * 30) / 105, 12);
    expect(second).toBeCloseTo((0.1 * (75 - 30)) / (105 - 30), 12);
  });

  test("surely off by its latest age", () => {
    const [[b]] = chances([
      [4.9, 0, true],
      [0, 200],
    ]) as [[number]];
    expect(b).toBeCloseTo(0.1, 12);
  });

  test("an age that is not known, up to and past the window: H(100) = 105 - 20^2 / 60, H(120) = 105", () => {
    const at = (...seconds: readonly number[]) => {
      const rows = seconds.map((s): Row => [0, s]);
      return chances([[4.9, 0], ...rows])[0]!.map((b) => b / 0.1);
    };
    expect(at(100)[0]).toBeCloseTo(98.3333 / 105, 5);
    expect(at(130)[0]).toBeCloseTo(1, 12);
    // H(110) = 105 - 10^2 / 60 = 103.3333: of the 6.6667 s that were left at 100, 5.
    expect(at(100, 110)[1]).toBeCloseTo(0.75, 9);
    // At 130 it was off for sure; what is shown later says no more.
    expect(at(130, 140)).toEqual([1, 1]);
  });

  test("an age that is known runs on over further zeros", () => {
    // Marked at 0, shown at 60: S(60) = 1, S(100) = 2/3, S(110) = 1/3.
    const [[first, second]] = chances([
      [4.9, 0, true],
      [4.9, 60],
      [0, 100],
      [0, 110],
    ]) as [[number, number]];
    expect(first).toBeCloseTo(0.1 / 3, 12);
    expect(second).toBeCloseTo(0.1 / 2, 12);
  });

  test("a display that shows when it must be off was switched on again: its age is unknown", () => {
    const again = (at: number) =>
      chances([
        [4.9, 0, true],
        [4.9, at],
        [0, at + 30],
      ])[0]![0]!;
    for (const at of [120, 200]) expect(again(at)).toBeCloseTo((0.1 * 30) / 105, 12);
    // At 110 it could still be on: S(140) = 0.
    expect(again(110)).toBeCloseTo(0.1, 12);
  });

  test("an unmarked zero before the reference leaves its age unknown", () => {
    const [, [b]] = chances([
      [4.9, 0, true],
      [0, 95],
      [4.9, 105],
      [0, 135],
    ]) as [unknown, [number]];
    expect(b).toBeCloseTo((0.1 * 30) / 105, 12);
  });

  test("with nothing shown before, the pool file's chance", () => {
    expect(
      chances([
        [0, 0],
        [4.9, 10],
      ]),
    ).toEqual([[0.0025]]);
  });
});

test("zeros of a display that is on for sure are no run", () => {
  expect(runs([[0, null, true]])).toEqual([]);
  expect(
    chances([
      [0, 0, true],
      [4.9, 10],
    ]),
  ).toEqual([]);
});

test("each meter's zeros are its own, and the first version's model knows of none", () => {
  const two = readPool(
    poolText.replace("meters: [", "meters: [{ name: shed, load_ohms: 1000, noise: 0.02 }, "),
    "pool.yaml",
  );
  if (!two.ok) throw new Error("refused");
  const text = [
    "lane,device,point,volts,meter",
    ...["1,pad,pod,0,deck", "1,pad,pod,0,shed", "1,pad,pod,4.9,deck", "1,pad,pod,0,shed"],
  ].join("\n");
  const { readings } = readReadings(text, two.value, "readings.csv");
  const order = walkOrder(readings);
  expect(zeroRuns(two.value, order).map((run) => [run.readings, run.followed])).toEqual([
    [[1, 3], false],
    [[0], true],
  ]);
  const plain = { ...two.value, model: { ...two.value.model, plain: true } };
  expect(zeroRuns(plain, order)).toEqual([]);
});
