import { expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";

const pool = smallPool([1, 2], ["pad"]);
const circuit = (lane: number, shown: readonly number[]): Shown[] =>
  ["timer", "harness", "plate", "pod"].map((point, k) => [lane, "pad", point, shown[k]!]);

/** One reading every ten seconds: the meter is surely off by the seventh. */
const timed = (rows: readonly Shown[]): Reading[] =>
  sheet(rows).map((one, n) => ({
    ...one,
    takenAt: { text: "", day: "2026-05-02", seconds: 1000 + 10 * n },
  }));

// Model, section 3: zeros that may come from a display that was off are to be taken again.
test("zeros at the end of the window are taken again, in the order of the walk", () => {
  const rows = [...circuit(1, [4.98, 4.99, 4.97, 4.98]), ...circuit(2, [4.98, 4.98, 0, 0])];
  const found = diagnose(pool, timed(rows));
  expect(found.takeAgain.map(({ lane, point }) => [lane, point])).toEqual([
    [2, "plate"],
    [2, "pod"],
  ]);
  for (const { doubt, reason } of found.takeAgain) {
    expect(doubt).toBeGreaterThan(0.9);
    expect(reason).toContain("switched itself off");
  }
  // The same said once for the whole walk.
  const off = found.explanations.filter(({ kind }) => kind === "meter-off");
  expect(off).toHaveLength(1);
  expect(off[0]!.words).toContain("2 of 2 zeros");
}, 60_000);

test("zeros well inside the window are an open path, and are not taken again", () => {
  const rows = [...circuit(2, [4.98, 4.98, 0, 0]), ...circuit(1, [4.98, 4.99, 4.97, 4.98])];
  const found = diagnose(pool, timed(rows));
  expect(found.takeAgain).toEqual([]);
  const plate = found.contacts.find(({ lane, point }) => lane === 2 && point === "plate");
  expect(plate!.open).toBeGreaterThan(0.9);
}, 60_000);

test("a value that fits no path is taken again as misread", () => {
  const rows = [...circuit(1, [4.98, 2.11, 4.97, 4.98]), ...circuit(2, [4.98, 4.98, 4.97, 4.98])];
  const [again, ...others] = diagnose(pool, sheet(rows)).takeAgain;
  expect(again).toMatchObject({ lane: 1, point: "harness", volts: 2.11 });
  expect(again!.reason).toContain("misread or mistyped");
  expect(others).toEqual([]);
}, 60_000);
