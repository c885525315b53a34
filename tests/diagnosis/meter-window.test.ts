import { describe, expect, test } from "vitest";
import { meterOffChances } from "../../src/diagnosis/meter-window.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { meter, sheet } from "../reference/builders.ts";

/** Model, section 3: the chance is linear over the window, here 45 to 60 s after switching on. */

const meters = new Map([["deck", meter("deck", 1000, 0.01)]]);

const at = (seconds: number | null, shown = 0, meterOn = false): Reading => ({
  ...sheet([[1, "pad", "pod", shown]])[0]!,
  volts: volts(shown),
  takenAt: seconds === null ? null : { text: "", day: "2026-05-02", seconds },
  meterOn,
});

describe("the chance that the meter was off", () => {
  test("rises linearly from 45 to 60 s", () => {
    const chances = meterOffChances(
      [0, 30, 45, 48, 52.5, 60].map((s) => at(1000 + s)),
      meters,
    );
    expect(chances).toEqual([0, 0, 0, 0.2, 0.5, 1]);
  });

  test("starts anew where the meter was switched on", () => {
    const chances = meterOffChances([at(0), at(40), at(50, 0, true), at(90), at(101)], meters);
    expect(chances.slice(0, 4)).toEqual([0, 0, 0, 0]);
    expect(chances[4]).toBeCloseTo(6 / 15, 12);
  });

  test("starts anew after a pause longer than the window", () => {
    expect(meterOffChances([at(0), at(61), at(105)], meters)).toEqual([0, 0, 0]);
    expect(meterOffChances([at(0), at(60)], meters)).toEqual([0, 1]);
  });

  test("a value later than the window shows that somebody switched it on", () => {
    expect(meterOffChances([at(0), at(30), at(61, 4.9), at(100)], meters)).toEqual([0, 0, 0, 0]);
  });

  test("is 0.02 without a time of day", () => {
    expect(meterOffChances([at(null), at(null)], meters)).toEqual([0.02, 0.02]);
  });

  test("does not hang on the order of the rows", () => {
    expect(meterOffChances([at(52.5), at(0), at(30)], meters)).toEqual([0.5, 0, 0]);
  });
});

test("readings of one second count as they stand", () => {
  const chances = meterOffChances([at(0), at(50), at(50, 0, true)], meters);
  expect(chances[0]).toBe(0);
  expect(chances[1]).toBeCloseTo(5 / 15, 12);
  expect(chances[2]).toBe(0);
});

test("a value within the window shows nothing new, one at its end that it was switched on", () => {
  expect(meterOffChances([at(0), at(50, 4.9), at(55)], meters)[2]).toBeCloseTo(10 / 15, 12);
  expect(meterOffChances([at(0), at(60, 4.9), at(100)], meters)[2]).toBe(0);
});

test("once off it is off for sure, and without a window nobody knows", () => {
  expect(meterOffChances([at(0), at(50), at(100)], meters)[2]).toBe(1);
  const endless = new Map([["deck", { ...meter("deck", 1000, 0.01), offAfter: null }]]);
  expect(meterOffChances([at(0), at(100)], endless)).toEqual([0.02, 0.02]);
});
