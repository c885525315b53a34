import { expect, test } from "vitest";
import { dayNumber } from "../../src/domain/calendar.ts";
import { trend } from "../../src/history/trend.ts";
import { dayWords, rangeWords } from "../../src/report/day-words.ts";
import { trendJson } from "../../src/report/trend-json.ts";
import { growthWords, trendText } from "../../src/report/trend-text.ts";
import { inventSeason } from "../history/season.ts";
import { findingOf, poolOf, walkOf, workOf } from "../history/synthetic.ts";

test("a growth of ln 1.12 a week is 12 % a week", () => {
  const growth = { median: Math.log(1.12), low: Math.log(1.08), high: Math.log(1.17) };
  expect(growthWords(growth)).toBe("12 % a week (8 to 17)");
  expect(growthWords({ median: 0, low: Math.log(0.97), high: 0.02 })).toBe("0 % a week (−3 to 2)");
});

test("contacts that only seem to heal are said not to grow", () => {
  expect(growthWords({ median: -0.02, low: -0.03, high: -0.01 })).toBe("no growth");
  expect(text).toMatch(/Pod terminals: no walk has seen any of 2 contacts grow\./);
});

test("days are read out without the year where it goes without saying", () => {
  const [old, first] = [dayNumber("2025-12-27")!, dayNumber("2026-01-03")!];
  expect(rangeWords(first, first + 7)).toBe("3 January to 10 January");
  expect(rangeWords(old, first)).toBe("27 December 2025 to 3 January 2026");
  expect(rangeWords(first, first)).toBe("3 January");
  expect(dayWords(dayNumber("2026-06-20")!, 2026)).toBe("20 June");
  expect(dayWords(dayNumber("2027-01-02")!, 2026)).toBe("2 January 2027");
});

const find = (lane: number, point: string, ohms: number) =>
  findingOf(pool, { lane, device: "touchpad", point }, ohms, Math.max(0.5, ohms / 20));
const pool = poolOf(2, ["plate", "pod"]);
const start = dayNumber("2026-01-05")!;
const walks = Array.from({ length: 16 }, (_, week) => {
  const since = week < 8 ? week : week - 8;
  return walkOf(
    start + 7 * week,
    [1, 2].flatMap((lane) => [
      find(lane, "plate", (lane === 1 ? 4 : 0.2) * Math.exp(lane === 1 ? 0.2 * since : 0)),
      find(lane, "pod", 0.2),
    ]),
    1.5,
  );
});
const found = trend(pool, walks, [workOf(start + 7 * 8 - 2, "cleaned", "plate", 1)]);
const text = trendText(found);

test("the season is named, and the circuit that crosses first comes first", () => {
  expect(text).toMatch(/^Kestrel Bay: 16 walks, 5 January to 20 April, about every 7 days\.\n/);
  const flat = text.replace(/\s+/g, " ");
  const circuits = text.match(/^ {2}Lane \d touchpad: reads about/gm)!;
  expect(circuits[0]).toContain("Lane 1");
  expect(flat).toMatch(/Lane 1 touchpad: .* reaches 4\.80 V about \d+ \w+ \(/);
});

test("what no walk could see is a bound in words, never a number of its own", () => {
  expect(text).toMatch(/No fall seen in 1 path; not before \d+ \w+/);
  expect(text).not.toMatch(/now 0\.\d+ Ω/);
});

test("the cleaning is told with what it found and what it left", () => {
  expect(text).toMatch(
    /28 February, Lane 1 plate connector \(touchpad\): 1\d Ω before, 4\.\d Ω after;/,
  );
});

test("JSON says dates, and null for a day that never comes", () => {
  const json = JSON.parse(JSON.stringify(trendJson(found, "last", [], [], null)));
  const [first] = json.circuits;
  expect(first.crossing.median).toMatch(/^2026-\d\d-\d\d$/);
  expect(json.contacts[0].segments[1].begun).toBe("2026-02-28");
  expect(json.cleanings.classes[0].cleanings[0].date).toBe("2026-02-28");
  expect(JSON.stringify(json)).not.toContain("Infinity");
});

test("a long season is cut with a count of what was left out", () => {
  const season = inventSeason(
    {
      lanes: 18,
      growth: { plate: 0.4, pod: 0.1 },
      betweenContacts: 0.02,
      scatter: 0.1,
      meterError: 1,
      weeks: 20,
    },
    4,
  );
  const long = trendText(trend(season.pool, season.walks, season.work));
  expect(season.pool.lanes).toHaveLength(18);
  expect(long).toMatch(/… and \d+ more circuits? \(--json\)/);
  expect(long).toMatch(/… and 24 more cleanings \(--json\)/);
});

/** Lane 1's plate, and at first lane 2's, at these ohms week by week; worked on after week 1. */
function textWith(weekly: readonly number[], action: "cleaned" | "replaced", lane = 1): string {
  const some = weekly.map((ohms, week) =>
    walkOf(
      start + 7 * week,
      [1, 2].flatMap((each) => [
        findingOf(pool, { lane: each, device: "touchpad", point: "plate" }, ohms, 3),
        find(each, "pod", 0.2),
      ]),
    ),
  );
  const season = trend(pool, some, [workOf(start + 8, action, "plate", lane)]);
  return trendText(season).replace(/\s+/g, " ");
}

test("a replacement is told with what the old part read and what the new one does", () => {
  const well = textWith([60, 60, 0.2, 0.2], "replaced");
  expect(well).toMatch(
    /Replacements, the latest first 13 January, Lane 1 plate connector \(touchpad\): (59|60) Ω before, under 12 Ω after; the new part reads well\./,
  );
  const low = textWith([60, 60, 150, 150], "replaced");
  expect(low).toMatch(/(59|60) Ω before, 1[45]\d Ω after; the new part reads low\./);
  expect(textWith([60, 60], "replaced")).toMatch(/(59|60) Ω before, not read after\./);
  expect(textWith([60, 60, 0.2], "cleaned")).not.toContain("Replacements");
});

test("a cleaning with nothing to cure held nothing", () => {
  const text = textWith([0.2, 0.2, 0.2, 0.2], "cleaned");
  expect(text).toContain("under 12 Ω before, under 12 Ω after; nothing to cure.");
  expect(textWith([0.2, 0.2, 0.2, 60], "cleaned")).toContain("nothing to cure, trouble 2 weeks");
});

test("where nobody knows how long it held, that trouble came back is still told", () => {
  const [plate, pod] = found.cleanings.classes;
  const cleanings = plate!.cleanings.map((score) => ({
    ...score,
    weeksHeld: null,
    heldUntil: "trouble" as const,
  }));
  const classes = [{ ...plate!, cleanings }, pod!];
  const late = trendText({ ...found, cleanings: { ...found.cleanings, classes } });
  expect(late.replace(/\s+/g, " ")).toContain(", trouble again by the first walk after it.");
});

test("one week is one week, one walk is on one day", () => {
  expect(textWith([60, 60, 0.2], "cleaned")).toContain("still holding after 1 week.");
  expect(textWith([60], "cleaned")).toMatch(/^Kestrel Bay: one walk, 5 January\. /);
});

test("no line is over 80 columns", () => {
  for (const line of text.split("\n")) expect([...line].length).toBeLessThanOrEqual(80);
});

test("a contact of a shared connector is called by the connector and by whose it is", () => {
  const shared = poolOf(2, ["timer", "pod"]);
  const grown = Array.from({ length: 10 }, (_, week) =>
    walkOf(
      start + 7 * week,
      [1, 2].flatMap((lane) =>
        ["timer", "pod"].map((point) => {
          const ohms = lane === 2 && point === "timer" ? 8 * Math.exp(0.2 * week) : 0.2;
          return findingOf(shared, { lane, device: "touchpad", point }, ohms, 1);
        }),
      ),
      1.5,
    ),
  );
  const season = trendText(trend(shared, grown, []));
  // There is one outlet: lane 2 has a contact in it, and no outlet of its own.
  expect(season).toContain("Timer connector (lane 2 touchpad): ");
  expect(season).not.toContain("Lane 2 timer connector");
});

test("one step of one circuit is told once, at its first point, with how many behind it show it", () => {
  const shown = (point: string, volts: number, flagged: boolean) => ({
    ...{ lane: 1, device: "touchpad", end: null, point, limits: null, doubted: 0 },
    readings: [{ walk: "2026-01-05", day: start, volts, expected: 4.98, flagged }],
  });
  const [first, ...others] = found.circuits;
  const charts = [
    ...[shown("timer", 4.99, false), shown("harness", 4.61, true)],
    ...[shown("plate", 4.6, true), shown("pod", 4.59, true)],
  ];
  const quiet = others.map((one) => ({ ...one, charts: [] }));
  const told = trendText({ ...found, circuits: [{ ...first!, charts }, ...quiet] });
  const flat = told.replace(/\s+/g, " ");
  expect(flat).toContain(
    "5 January, lane 1 touchpad harness: read 4.61 V where 4.98 V was expected; 2 points behind it too.",
  );
  expect(flat.match(/was expected/g)).toHaveLength(1);
});
