import { describe, expect, test } from "vitest";
import { rateBin } from "../../src/policy/contact-law.ts";
import { levelGrid, placeOn, roughNodes } from "../../src/policy/level-grid.ts";
import { law } from "./sample-law.ts";

/** From 0.5 ohm up to e over 12, which is over three scatters of 0.15. */
const [low, high] = [Math.log(0.5), Math.log(12) + 1];
const log = { kind: "log", rate: 0.08, weight: 1 } as const;
const ohm = { kind: "ohm", rate: 0.9, weight: 1 } as const;
const steps = (grid: Float64Array): number[] => [...grid.slice(1)].map((x, k) => x - grid[k]!);

describe("levels of a mode: its own path, one node a check", () => {
  // (high - low) / 0.08 = 52.2 weeks: 26.1 checks of two weeks.
  test("by a share: as far apart as it grows from check to check, until over the limit", () => {
    const grid = levelGrid(law, log, 2);
    expect(grid).toHaveLength(28);
    expect(grid[0]).toBeCloseTo(low, 12);
    for (const step of steps(grid)) expect(step).toBeCloseTo(0.16, 12);
    expect(grid.at(-1)!).toBeGreaterThanOrEqual(high);
    expect(grid.at(-2)!).toBeLessThan(high);
  });

  test("forty intervals at most, the last node on the end", () => {
    const grid = levelGrid(law, log, 0.5);
    expect(grid).toHaveLength(41);
    expect(grid.at(-1)).toBeCloseTo(high, 9);
  });

  // 5.2 checks of ten weeks: a quarter of one between nodes gives over twenty.
  test("twenty at least: a whole part of a check", () => {
    const grid = levelGrid(law, log, 10);
    for (const step of steps(grid)) expect(step).toBeCloseTo(0.08 * 2.5, 12);
    expect(grid).toHaveLength(Math.ceil((high - low) / 0.2) + 1);
  });

  // (12 e - 0.5) / 0.9 = 35.7 weeks: 17.8 checks of two weeks, halves of them then.
  test("by ohms: equal steps of ohms", () => {
    const grid = levelGrid(law, ohm, 2);
    expect(grid).toHaveLength(37);
    for (const step of steps(grid.map(Math.exp))) expect(step).toBeCloseTo(0.9, 9);
    // 35.7 checks of one week are neither too many nor too few.
    expect(levelGrid(law, ohm, 1)).toHaveLength(37);
  });

  test("none: twenty nodes evenly apart; so where a growth is none", () => {
    for (const mode of [
      { kind: "flat", rate: 0, weight: 1 },
      { kind: "flat", rate: 1, weight: 1 },
      { kind: "log", rate: 0, weight: 1 },
      { kind: "log", rate: -1, weight: 1 },
    ] as const) {
      const grid = levelGrid(law, mode, 2);
      expect(grid).toHaveLength(20);
      expect([grid[0], grid.at(-1)]).toEqual([low, expect.closeTo(high, 12)]);
      for (const step of steps(grid)) expect(step).toBeCloseTo((high - low) / 19, 12);
    }
  });

  test("half as many, where only ratios are wanted", () => {
    expect(levelGrid(law, { kind: "flat", rate: 0, weight: 1 }, 2, roughNodes)).toHaveLength(10);
    expect(levelGrid(law, log, 2, roughNodes)).toHaveLength(21);
  });

  test("up to three scatters over the limit, where that is more than one of ln ohms", () => {
    const wide = { ...law, limit: { logOhms: Math.log(12), scatter: 0.5 } };
    const grid = levelGrid(wide, { kind: "flat", rate: 0, weight: 1 }, 2);
    expect(grid.at(-1)).toBeCloseTo(Math.log(12) + 1.5, 12);
    const floors = { ...law, floor: [...law.floor, { value: -3, weight: 0.5 }] };
    expect(levelGrid(floors, log, 2)[0]).toBe(-3);
  });
});

test.each([
  [-1, 0, 0],
  [0, 0, 0],
  [0.5, 0, 0.5],
  [1, 1, 0],
  [2.5, 1, 0.75],
  [3, 2, 0],
  [6, 2, 0.75],
  [7, 2, 1],
  [9, 2, 1],
])("level %d among nodes 0, 1, 3, 7 is at %i and part %d", (level, index, part) => {
  expect(placeOn([0, 1, 3, 7], level)).toEqual({ index, part });
});

// Seven tenths of ln rate make a bin: 0.1 and 0.12 share one, 0.1 and 0.2 do not.
test("growths are taken together by kind and rate", () => {
  const bin = (kind: "flat" | "log" | "ohm", rate: number): string => rateBin({ kind, rate });
  expect(bin("log", 0.1)).toBe(bin("log", 0.12));
  expect(bin("log", 0.1)).not.toBe(bin("log", 0.25));
  expect(bin("log", 0.1)).not.toBe(bin("ohm", 0.1));
  expect(bin("log", 0)).toBe(bin("log", -1));
  expect(bin("flat", 0)).not.toBe(bin("log", 0));
  expect(bin("log", 0)).not.toBe(bin("log", 1));
});
