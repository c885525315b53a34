import { describe, expect, test } from "vitest";
import type { CircuitProblem } from "../../src/inference/problem.ts";
import {
  type CircuitDisplay,
  displayOf,
  offOneByOne,
  stretchesOf,
} from "../../src/inference/zero-runs.ts";

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

describe("whose zeros they are", () => {
  const path = (...indices: readonly number[]) =>
    ({ readings: [indices.map((index) => ({ index }))] }) as unknown as CircuitProblem;
  const one = { readings: [1, 2], off: [0.1, 0.2], stays: 0.5, followed: true };

  test("a run of one circuit is its own, one that goes on in another is shared", () => {
    const two = { ...one, readings: [3, 4] };
    const { circuits, shared } = displayOf([path(0, 1, 2, 3), path(4, 5)], [one, two]);
    expect(shared).toEqual([two]);
    expect(circuits.map(({ sharedZeros }) => [...sharedZeros])).toEqual([[3], [4]]);
    const ways = new Map(circuits[0]!.own.map(({ off, chance }) => [`${off}`, chance]));
    // As above: none 0.72, the first 0.05, both 0.025, the second 0.09.
    expect([...ways.keys()].sort()).toEqual(["", "1", "1,2", "2"]);
    expect(ways.get("")).toBeCloseTo(0.72, 12);
    expect(ways.get("1")).toBeCloseTo(0.05, 12);
    expect(ways.get("1,2")).toBeCloseTo(0.025, 12);
    expect(ways.get("2")).toBeCloseTo(0.09, 12);
    expect(circuits[1]!.own).toEqual([{ chance: 1, off: [] }]);
  });

  test("two runs of one circuit are independent", () => {
    const short = (index: number) => ({ ...one, readings: [index], off: [0.1], followed: false });
    const [{ own }] = displayOf([path(1, 2)], [short(1), short(2)]).circuits as [CircuitDisplay];
    const ways = new Map(own.map(({ off, chance }) => [`${off}`, chance]));
    expect(ways.get("")).toBeCloseTo(0.81, 12);
    expect(ways.get("1")).toBeCloseTo(0.09, 12);
    expect(ways.get("1,2")).toBeCloseTo(0.01, 12);
  });

  test("zeros that are no circuit's resting readings have no say", () => {
    const { circuits, shared } = displayOf([path(0)], [{ ...one, readings: [8, 9] }]);
    expect([shared, circuits[0]!.own]).toEqual([[], [{ chance: 1, off: [] }]]);
  });
});

test("one by one: off anew, or still, whichever is likelier", () => {
  const chances = offOneByOne([{ ...run, off: [0.1, 0.7], stays: 0.5, followed: true }]);
  expect([...chances]).toEqual([
    [4, 0.1],
    [5, 0.7],
  ]);
  expect(offOneByOne([{ ...run, followed: true }]).get(5)).toBe(0.5);
});

test("of three zeros, what comes after a stretch is on for its own reasons", () => {
  const three = { readings: [1, 2, 3], off: [0.1, 0.2, 0.3], stays: 0.5, followed: true };
  const found = new Map(stretchesOf(three).map(({ off, chance }) => [`${off}`, chance]));
  // Off for the first alone: 0.1 (1 - 0.5) (1 - 0.3); for the second: 0.9 x 0.2 x 0.5.
  expect(found.get("0,0")).toBeCloseTo(0.035, 12);
  expect(found.get("1,1")).toBeCloseTo(0.09, 12);
  expect(found.get("1,2")).toBeCloseTo(0.9 * 0.2 * 0.5 * 0.5, 12);
  expect(found.get("2,2")).toBeCloseTo(0.9 * 0.8 * 0.3 * 0.5, 12);
  expect(found.size).toBe(7);
  // n (n + 1) / 2 + 1 explanations, less those that begin where nothing can have gone off.
  expect(stretchesOf({ ...three, off: [0.1, 0, 0.3] })).toHaveLength(5);
});
