import { expect, test } from "vitest";
import { trend } from "../../src/history/trend.ts";
import { inventSeason } from "./season.ts";
import { poolOf, walkOf } from "./synthetic.ts";

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
  const days = found.circuits.map(({ crossing }) => crossing.median);
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
