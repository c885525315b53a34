import { describe, expect, test } from "vitest";
import type { Assumption } from "../../src/economics/assumptions.ts";
import type { Choice } from "../../src/economics/choices.ts";
import type { KeptGroup } from "../../src/economics/option-flows.ts";
import {
  courseRatios,
  followedAt,
  type OptionsBase,
  partsAt,
  roughWeeks,
  wholeOf,
} from "../../src/economics/option-parts.ts";
import type { UpkeepGroup } from "../../src/economics/upkeep.ts";
import { costs, group, pool, track } from "./hand-made.ts";

const atTen = { ...costs, discountRate: { value: 0.1, low: 0.1, high: 0.1 } };

const keptWith = (of: UpkeepGroup, given: Parameters<typeof track>[1]): readonly KeptGroup[] => [
  { group: of, branches: [{ share: 1, track: track(8, given), bought: null }] },
];

// By hand: a cleaning of 10 in the first year, a replacement of 120 in the second, an open contact all
// the first quarter: 12 meets a year at 1000 a lane, a quarter of them; at 10 % a year.
test("parts are the present values of what is spent on each thing, and add to the whole", () => {
  const kept = [keptWith(group([1]), { cleanings: [1], replacements: [0, 0, 0, 0, 1], open: [1] })];
  const [parts] = partsAt({ pool, kept }, atTen);
  expect(parts!.cleaning).toBeCloseTo(10 / 1.1, 12);
  expect(parts!.renewing).toBeCloseTo(120 / 1.21, 12);
  expect(parts!.lostLanes).toBeCloseTo(3000 / 1.1, 9);
  expect(parts!.replacing).toBe(0);
  expect(wholeOf(parts!)).toBeCloseTo(10 / 1.1 + 120 / 1.21 + 3000 / 1.1, 9);
});

test("groups may be changed before they are priced", () => {
  const kept = [keptWith(group([1]), { now: { cleanings: 0, replacements: 1 }, isNew: true })];
  const dearer = (one: UpkeepGroup) => ({ ...one, costs: { ...one.costs, part: 1000 } });
  expect(partsAt({ pool, kept }, costs)[0]!.replacing).toBe(120);
  expect(partsAt({ pool, kept }, costs, dearer)[0]!.replacing).toBe(1020);
});

/** A choice whose groups are cleaned in the first quarter as often as their kind has letters. */
const counted: Choice = {
  id: "plan",
  kind: "plan",
  label: "",
  replaced: [],
  kept: (groups) => groups.flatMap((one) => keptWith(one, { cleanings: [one.kind.length] })),
};
const base: OptionsBase = {
  pool,
  costs,
  groups: [group([1], { kind: "four" })],
  choices: [counted],
  kept: [],
};
const moving = (moves: Assumption["moves"]): Assumption => ({
  name: "",
  unit: "times",
  value: 1,
  low: 0.5,
  high: 2,
  least: 0,
  most: 9,
  moves,
});
const longer = (of: UpkeepGroup, factor: number): UpkeepGroup => ({
  ...of,
  kind: "x".repeat(4 * factor),
});
const cleaned = (cleaning: number) => [{ replacing: 0, renewing: 0, cleaning, lostLanes: 0 }];

test("options are followed anew with the groups that they are given", () => {
  expect(followedAt(base, [group([1], { kind: "sixsix" })], 13, true)[0]!.cleaning).toBe(60);
});

describe("ratios of a moved course", () => {
  const unmoved = { finely: cleaned(40), roughly: cleaned(20) };

  test("each part at either end beside the same roughly unmoved; of nothing it is 1", () => {
    const ratios = courseRatios(base, moving({ what: "course", groups: longer }), unmoved);
    // 20 and 80 beside 20.
    expect(ratios!.low).toEqual([{ replacing: 1, renewing: 1, cleaning: 1, lostLanes: 1 }]);
    expect(ratios!.high).toEqual([{ replacing: 1, renewing: 1, cleaning: 4, lostLanes: 1 }]);
  });

  test("what comes to nothing is not made nothing of", () => {
    const none = moving({ what: "course", groups: (one) => ({ ...one, kind: "" }) });
    expect(courseRatios(base, none, unmoved)!.high[0]!.cleaning).toBe(1);
  });

  test("walks at other intervals are followed finely, at their own weeks", () => {
    const asked: number[] = [];
    const weeks = (own: number, end: number): number => {
      asked.push(own, end);
      return end;
    };
    const groups = (one: UpkeepGroup) => one;
    const ratios = courseRatios(base, moving({ what: "course", groups, weeks }), unmoved);
    expect(ratios!.high[0]!.cleaning).toBe(1);
    expect(ratios!.low[0]!.cleaning).toBe(1);
    expect(asked).toEqual([13, 0.5, 13, 2]);
  });

  test("an end that is the value itself is not followed", () => {
    const still = { ...moving({ what: "course", groups: longer }), low: 1 };
    expect(courseRatios(base, still, unmoved)!.low).toEqual([
      { replacing: 1, renewing: 1, cleaning: 1, lostLanes: 1 },
    ]);
  });

  test("a price has none", () => {
    expect(
      courseRatios(base, moving({ what: "price", costs: (same) => same }), unmoved),
    ).toBeNull();
  });
});

test("a rough following walks every four weeks, or as seldom as the pool does", () => {
  expect(roughWeeks({ ...costs, checkWeeks: 1 })).toBe(4);
  expect(roughWeeks({ ...costs, checkWeeks: 13 })).toBe(13);
});
