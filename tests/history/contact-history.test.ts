import { expect, test } from "vitest";
import { contactHistories } from "../../src/history/contact-history.ts";
import { sightOf } from "../../src/history/sight.ts";
import { normalQuantile } from "../../src/numerics/normal.ts";
import { findingOf, poolOf, walkOf, workOf } from "./synthetic.ts";

const pool = poolOf(1, ["plate"]);
const circuit = { lane: 1, device: "touchpad", point: "plate" };
const before = { sound: 0.89, fouled: 0.1 };
const shown = (ohms: number, error = 5) => findingOf(pool, circuit, ohms, error);

test("a contact under what the meter can show is a bound, not its prior's median", () => {
  expect(sightOf(shown(0.3), 12, pool.contact, before)).toEqual({
    kind: "bound",
    low: -Infinity,
    high: Math.log(12),
  });
});

test("a blind meter says nothing about a sound contact", () => {
  expect(sightOf(shown(0.3), null, pool.contact, before)).toEqual({ kind: "unseen" });
});

test("a fouled contact is resolved to what was measured, the prior taken out again", () => {
  for (const [ohms, error] of [
    [40, 5],
    [60, 15],
    [200, 20],
    [8, 0.5],
  ] as const) {
    const sight = sightOf(shown(ohms, error), 3.3 * error, pool.contact, before);
    if (sight.kind !== "resolved") throw new Error(`${ohms} ohm is ${sight.kind}`);
    // A normal error of `error` ohms is one of about error / ohms in ln ohms.
    expect(sight.error / (error / ohms)).toBeGreaterThan(0.8);
    expect(sight.error / (error / ohms)).toBeLessThan(1.25);
    // A normal in ohms is skew in ln ohms: its median is not quite the reading.
    expect(Math.abs(sight.logOhms - Math.log(ohms))).toBeLessThan(0.4 * sight.error);
  }
});

test("a sound contact that a fine meter does resolve is resolved", () => {
  const sight = sightOf(shown(0.5, 0.05), 0.1, pool.contact, before);
  if (sight.kind !== "resolved") throw new Error(sight.kind);
  expect(Math.exp(sight.logOhms)).toBeCloseTo(0.5, 1);
});

test("a contact that may be sound or fouled has no lower bound; an open one no upper", () => {
  const doubt = { ...shown(60), sound: 0.5, fouled: 0.49, open: 0.01 };
  const between = { ...doubt, ohms: { median: 2, low: 0.1, high: 90 } };
  expect(sightOf(between, 12, pool.contact, before)).toEqual({
    kind: "bound",
    low: -Infinity,
    high: Math.log(90),
  });
  const open = { ...doubt, sound: 0, fouled: 0, open: 1 };
  const broken = { ...open, ohms: { median: Infinity, low: Infinity, high: Infinity } };
  expect(sightOf(broken, 12, pool.contact, before)).toMatchObject({
    kind: "bound",
    high: Infinity,
  });
});

test("fouled at one level, or sound and misread: the odds are Bayes's, whatever was believed before", () => {
  // The plain pool's fouled contacts: LogNormal(60 ohm, 1.2), its density at 2000 ohm by hand.
  const z = Math.log(2000 / 60) / 1.2;
  const density = Math.exp(-0.5 * z ** 2) / (1.2 * Math.sqrt(2 * Math.PI));
  // Of a posterior of 0.1 sound and 0.9 fouled, ln ohms of the fouled part N(ln 2000, 0.02).
  const at = (level: number): number => 2000 * Math.exp(0.02 * normalQuantile((level - 0.1) / 0.9));
  const found = { ...shown(60), sound: 0.1, fouled: 0.9, open: 0 };
  const sight = sightOf(
    { ...found, ohms: { low: 0.2, median: at(0.5), high: at(0.95) } },
    12,
    pool.contact,
    before,
  );
  if (sight.kind !== "either") throw new Error(sight.kind);
  expect(Math.exp(sight.logOhms)).toBeCloseTo(2000, 3);
  expect(sight.error).toBeCloseTo(0.02, 6);
  expect(sight.odds / (0.9 / 0.1 / (0.1 / 0.89) / density)).toBeCloseTo(1, 6);
});

test("works split the walks; weeks count from the work, or from the first walk before any", () => {
  const walks = [0, 7, 14, 21].map((day) => walkOf(day, [shown(30)]));
  const [history] = contactHistories(pool, walks, [
    workOf(16, "cleaned", "plate"),
    workOf(5, "reseated", "pod"),
    workOf(5, "cleaned", "plate", 2),
    workOf(30, "replaced", "plate"),
  ]);
  expect(
    history!.segments.map(({ begunBy, begun, observations }) => [
      begunBy,
      begun,
      observations.map(({ weeks }) => weeks),
    ]),
  ).toEqual([
    ["first walk", 0, [0, 1, 2]],
    ["cleaned", 16, [5 / 7]],
    ["replaced", 30, []],
  ]);
});

test("work on the day of a walk comes after it, between it and a second walk of that day", () => {
  const walks = [walkOf(0, [shown(60)]), walkOf(0, [shown(1)]), walkOf(7, [shown(1)])];
  const [history] = contactHistories(pool, walks, [workOf(0, "cleaned", "plate")]);
  expect(history!.segments.map(({ observations }) => observations.length)).toEqual([1, 2]);
});

test("where both have a time of day, the times decide", () => {
  const morning = { ...walkOf(0, [shown(60)]), seconds: 8 * 3600 };
  const entry = workOf(0, "cleaned", "plate");
  const early = { ...entry, doneAt: { ...entry.doneAt, seconds: 7 * 3600 } };
  const late = { ...entry, doneAt: { ...entry.doneAt, seconds: 9 * 3600 } };
  const before = contactHistories(pool, [morning], [early])[0]!;
  const after = contactHistories(pool, [morning], [late])[0]!;
  expect(before.segments.map(({ begunBy }) => begunBy)).toEqual(["cleaned"]);
  expect(after.segments.map(({ begunBy }) => begunBy)).toEqual(["first walk", "cleaned"]);
});

test("a connector that the whole pool shares is worked on for every circuit", () => {
  const two = poolOf(2, ["timer", "pod"]);
  const walks = [
    walkOf(
      0,
      [1, 2].map((lane) => findingOf(two, { ...circuit, lane, point: "timer" }, 30, 5)),
    ),
  ];
  const histories = contactHistories(two, walks, [workOf(1, "cleaned", "timer", null)]);
  expect(histories.map(({ segments }) => segments.length)).toEqual([2, 2]);
});

test("the same work twice with no walk between is one work; another action is another", () => {
  const walks = [walkOf(0, [shown(60)]), walkOf(14, [shown(0.3)])];
  const begun = (...work: Parameters<typeof contactHistories>[2]) =>
    contactHistories(pool, walks, work)[0]!.segments.map(({ begunBy, observations }) => [
      begunBy,
      observations.length,
    ]);
  const cleaned = (day: number) => workOf(day, "cleaned", "plate", 1);
  expect(begun(cleaned(5), cleaned(5))).toEqual([
    ["first walk", 1],
    ["cleaned", 1],
  ]);
  expect(begun(cleaned(5), workOf(6, "replaced", "plate", 1))).toEqual([
    ["first walk", 1],
    ["cleaned", 0],
    ["replaced", 1],
  ]);
});
