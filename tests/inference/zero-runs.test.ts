import { expect, test } from "vitest";
import { stretchesOf } from "../../src/inference/zero-runs.ts";

/** Two zeros, b = 0.1 and 0.2, q = 0.5, worked by hand from equation (6) of `src/MODEL.md`. */
const run = { readings: [4, 5], off: [0.1, 0.2], stays: 0.5 };

test("the explanations of two zeros that a reading follows", () => {
  expect(stretchesOf({ ...run, followed: true })).toEqual([
    { chance: 0.9 * 0.8, off: null },
    // Off for the first alone: 0.1, not any more at the second: 0.5.
    { chance: 0.1 * 0.5, off: [0, 0] },
    { chance: 0.1 * 0.5 * 0.5, off: [0, 1] },
    { chance: 0.9 * 0.2 * 0.5, off: [1, 1] },
  ]);
});

test("with nothing after them, how long the display stays off has no say", () => {
  const chances = stretchesOf({ ...run, followed: false }).map(({ chance }) => chance);
  expect(chances[2]).toBeCloseTo(0.1 * 0.5, 15);
  expect(chances[3]).toBeCloseTo(0.9 * 0.2, 15);
});

test("a zero taken right after switching on ends every stretch", () => {
  const found = stretchesOf({ ...run, off: [0.1, 0], surelyOn: [false, true], followed: true });
  expect(found.map(({ off }) => off)).toEqual([null, [0, 0]]);
});
