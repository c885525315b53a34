import { expect, test } from "vitest";
import { trend } from "../../src/history/trend.ts";
import { inventSeason } from "./season.ts";
import { findingOf, poolOf, walkOf, workOf } from "./synthetic.ts";

const plan = {
  lanes: 3,
  growth: { plate: 0.2, pod: 0.05 },
  betweenContacts: 0.02,
  scatter: 0.1,
  meterError: 0.3,
  weeks: 20,
};
const season = inventSeason(plan, 8);
const found = trend(season.pool, season.walks, season.work);

test("every contact, circuit and class is there once, classes in the order of the chain", () => {
  expect(found.classes.map(({ point }) => point)).toEqual(["plate", "pod"]);
  expect(found.contacts).toHaveLength(6);
  expect(found.circuits.map(({ lane }) => lane).sort()).toEqual([1, 2, 3]);
  expect(found.rhythm).toBe(7);
  expect(found.walks).toHaveLength(20);
  expect(found.walks[1]!.date).toBe("1970-01-08");
});

test("circuits come in the order in which they will cross their limit", () => {
  const days = found.circuits.map(({ crossing }) => crossing?.median ?? 1e9);
  expect(days).toEqual([...days].sort((a, b) => a - b));
});

test("the contact that grows fastest is the one that drives the crossing", () => {
  expect(new Set(found.circuits.map(({ driver }) => driver))).toEqual(new Set(["plate"]));
});

test("a result is plain data: it survives JSON, infinities apart", () => {
  const copy = JSON.parse(JSON.stringify(found));
  expect(copy.contacts[0].growth).toEqual(found.contacts[0]!.growth);
  expect(copy.cleanings.classes).toHaveLength(2);
});

test("the same walks give the same answer, and progress is told on the way", () => {
  const told: string[] = [];
  const again = trend(season.pool, season.walks, season.work, (what) => told.push(what));
  expect(again).toEqual(found);
  expect(new Set(told)).toEqual(new Set(["growth", "forecast"]));
});

test("no contact in any walk is a caller's mistake", () => {
  expect(() => trend(poolOf(1), [walkOf(0, [])], [])).toThrow(/no walk has a contact/);
});

/** Two lanes cleaned on day 3 from `before` ohms; trouble is back after 3 and 4 weeks. */
function cleanedFrom(before: number) {
  const pool = poolOf(2, ["plate"]);
  const back = [21, 28];
  const walks = [0, 7, 14, 21, 28, 35].map((day) =>
    walkOf(
      day,
      back.map((again, i) => {
        const ohms = day === 0 ? before : day >= again ? 60 : 0.2;
        return findingOf(pool, { lane: i + 1, device: "touchpad", point: "plate" }, ohms, 3);
      }),
    ),
  );
  const work = [workOf(0, "cleaned", "plate", 1), workOf(0, "cleaned", "plate", 2)];
  return trend(pool, walks, work).classes[0]!.holdTime;
}

/** The mean of a Weibull distribution with times of 3 and 4 weeks lies between the two. */
test("cleanings that cured something have a hold time; those with nothing to cure have none", () => {
  const mean = cleanedFrom(60)!.meanWeeks;
  expect(mean).toBeGreaterThan(3);
  expect(mean).toBeLessThan(4);
  expect(cleanedFrom(0.2)).toBeNull();
});
