import { describe, expect, test } from "vitest";
import { type Assumption, assumptionsOf } from "../../src/economics/assumptions.ts";
import { costs, group } from "./hand-made.ts";

const all = assumptionsOf(costs);
const named = (name: string): Assumption => all.find((each) => each.name === name)!;

/** A course at a factor. */
const course = (name: string, factor: number, changed = {}) => {
  const { moves } = named(name);
  if (moves.what !== "course") throw new Error("a price");
  return moves.groups(group([1], changed), factor);
};

test("prices stand first, then the course, then the weeks between walks", () => {
  expect(all.map(({ name }) => name)).toEqual([
    "labour",
    "discount rate",
    "horizon",
    "meets per season",
    "price of a lost lane",
    "chance that a low path loses its lane",
    "chance that a device fails by itself",
    "cost of a lane on its fall-backs",
    "price of parts",
    "minutes of work",
    "chance that a cleaning cures",
    "growth of contact resistance",
    "life of a connector",
    "age of what is installed",
    "weeks between walks",
  ]);
  expect(all.map(({ moves }) => moves.what)).toEqual([
    ...Array(10).fill("price"),
    ...Array(5).fill("course"),
  ]);
});

test("a price has the pool's own value and range, and moves alone", () => {
  const own = { ...costs, labourPerHour: { value: 60, low: 40, high: 90 } };
  const [labour] = assumptionsOf(own);
  expect(labour).toMatchObject({ value: 60, low: 40, high: 90, least: 0 });
  const { moves } = labour!;
  if (moves.what !== "price") throw new Error("a course");
  const moved = moves.costs(own, 75);
  expect(moved).toEqual({ ...own, labourPerHour: { value: 75, low: 40, high: 90 } });
});

describe("multiples of what each connector has its own of", () => {
  test("are reckoned from once of it, never below none", () => {
    for (const { unit, value, low, high, least, most } of all.slice(8, 14)) {
      expect(unit).toBe("times");
      expect([value, least, most]).toEqual([1, 0, Number.POSITIVE_INFINITY]);
      expect(low).toBeLessThan(1);
      expect(high).toBeGreaterThan(1);
    }
  });

  test("parts and minutes", () => {
    const priced = (name: string, factor: number) => {
      const { moves } = named(name);
      if (moves.what !== "price" || moves.groups === undefined) throw new Error("no multiple");
      expect(moves.costs(costs, factor)).toBe(costs);
      return moves.groups(group([1]), factor);
    };
    const before = group([1]);
    expect(priced("price of parts", 3)).toEqual({
      ...before,
      costs: { ...before.costs, part: 300 },
    });
    expect(priced("minutes of work", 3)).toEqual({
      ...before,
      costs: { ...before.costs, cleanMinutes: 30, replaceMinutes: 60 },
    });
  });

  // A contact cures with 0.7: half as often leaves 0.65 of oxide; a half oftener than that can be is
  // taken for 0.98.
  test("a cleaning that cures less often, of the law and of what is believed", () => {
    const halved = course("chance that a cleaning cures", 0.5);
    expect(halved.law.oxide).toBeCloseTo(1 - 0.35, 12);
    expect(halved.contacts[0]!.beliefs[0]!.belief[0]!.oxide).toBeCloseTo(0.65, 12);
    expect(course("chance that a cleaning cures", 1.5).law.oxide).toBeCloseTo(0.02, 12);
    const surely = { law: { ...group([1]).law, oxide: 0.005 } };
    expect(course("chance that a cleaning cures", 1.2, surely).law.oxide).toBeCloseTo(0.005, 12);
  });

  test("growth, of every mode and of what is believed", () => {
    const before = group([1]);
    const doubled = course("growth of contact resistance", 2);
    const rates = (of: typeof before) => of.law.modes.map(({ rate }) => rate);
    expect(rates(doubled)).toEqual(rates(before).map((rate) => 2 * rate));
    expect(doubled.contacts[0]!.beliefs[0]!.belief[0]!.growth).toEqual({ kind: "log", rate: 0.16 });
  });

  test("life of what is fitted, age of what is there", () => {
    const before = group([1]);
    const lasting = course("life of a connector", 2);
    expect(lasting.law.life).toEqual({ ...before.law.life, scale: 600 });
    expect(lasting.contacts).toEqual(before.contacts);
    const aged = {
      ...before.contacts[0]!,
      beliefs: [{ ...before.contacts[0]!.beliefs[0]!, ageWeeks: 50 }],
    };
    const older = course("age of what is installed", 3, { contacts: [aged] });
    expect(older.contacts[0]!.beliefs[0]!.ageWeeks).toBe(150);
    expect(older.law).toBe(before.law);
  });

  // Tracks take groups of one kind for alike: a law that was moved must not pass for the one that was not.
  test("a moved law is of another kind for every factor, a moved age is of the same", () => {
    const kinds = [
      "chance that a cleaning cures",
      "growth of contact resistance",
      "life of a connector",
    ].flatMap((name) => [0.5, 2].map((factor) => course(name, factor).kind));
    expect(new Set([...kinds, group([1]).kind]).size).toBe(7);
    expect(course("age of what is installed", 2).kind).toBe(group([1]).kind);
  });
});

test("walks may be twice as often or three times as seldom, within what a pool file may say", () => {
  const weeks = assumptionsOf({ ...costs, checkWeeks: 4 }).at(-1)!;
  expect(weeks).toMatchObject({ unit: "weeks", value: 4, low: 2, high: 12, least: 1, most: 26 });
  if (weeks.moves.what !== "course") throw new Error("a price");
  expect(weeks.moves.weeks!(4, 12)).toBe(12);
  const same = group([1]);
  expect(weeks.moves.groups(same, 12)).toBe(same);
  expect(named("weeks between walks")).toMatchObject({ value: 13, low: 7, high: 26 });
  expect(assumptionsOf({ ...costs, checkWeeks: 1 }).at(-1)!.low).toBe(1);
});
