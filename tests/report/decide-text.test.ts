import { expect, test } from "vitest";
import type { Course, CourseKind, Decision } from "../../src/decision/decision.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { decideText, decisionWords, nearlyText } from "../../src/report/decide-text.ts";
import { placeOf } from "../plain-pool.ts";

const course = (kind: CourseKind, over: Partial<Course> = {}): Course => ({
  kind,
  everyWeeks: null,
  replaceIfLow: false,
  replaceUnderVolts: null,
  replaceInWeeks: null,
  presentCost: 100,
  annualCost: 12,
  chanceBest: 0.25,
  failsBeforeNextCheck: 0.03,
  ...over,
});

const replacing = { replaceIfLow: true, replaceUnderVolts: 4.738 };

const decision: Decision = {
  place: { ...placeOf("plate", 3), connector: "plate connector" },
  atFault: 0.97,
  open: 0,
  film: 0.6,
  weeksHeld: [
    { weeks: 6, atLeast: true },
    { weeks: 2, atLeast: false },
    { weeks: 2.2, atLeast: false },
  ],
  courses: [
    course("leave"),
    course("clean", { chanceBest: 0.62, presentCost: 80, ...replacing }),
    course("replace-now", { replaceInWeeks: 0 }),
    course("replace-at-age", { everyWeeks: 8, replaceInWeeks: 26, ...replacing }),
  ],
  preferred: "clean",
  chanceBest: 0.62,
  cleanMinutes: 12,
  replaceMinutes: 40,
  cleanCost: 8,
  replaceCost: 146.67,
  breakEvenReading: { kind: "reading", volts: 4.738, contactOhms: 51 },
  breakEvenWeeks: 5.2,
  bestAgeYears: 7,
  stillLowAfterCleaning: false,
};

test("the sentence is the one that a facility manager asked for", () => {
  expect(decisionWords(decision, "pod", "EUR")).toBe(
    "Clean lane 3's plate connector now (12 min, EUR 8). If its pod then still reads under 4.74 V, " +
      "replace the connector: cleaning would have to hold 5 weeks to be worth it, and the last two " +
      "held 2 weeks.",
  );
});

test("each course has its own words, and so has each way in which the choice may not turn", () => {
  const words = (over: Partial<Decision>): string =>
    decisionWords({ ...decision, ...over }, "pod", "XXX");
  expect(words({ preferred: "leave" })).toMatch(/^Leave lane 3's plate connector as it is/);
  const often = decision.courses.map((each) => ({ ...each, everyWeeks: 4 }));
  expect(words({ preferred: "replace-now", weeksHeld: [], courses: often })).toBe(
    "Replace lane 3's plate connector now (40 min, cost 147): cleaning would have to hold 5 weeks to be " +
      "worth it.",
  );
  // It could be cleaned seldom enough, so that its price is not why it is replaced.
  for (const weeks of [1, 5])
    expect(words({ preferred: "replace-now", breakEvenWeeks: weeks })).toMatch(
      /^Replace .*: a cleaning cures it with a chance of 60 %, and the last two held 2 weeks; what/,
    );
  const failed = [0, 0, 3].map((weeks) => ({ weeks, atLeast: false }));
  expect(words({ preferred: "replace-now", breakEvenWeeks: 1, weeksHeld: failed })).toMatch(
    /chance of 60 %, and 2 of the 3 on record did not hold at all; what is lost/,
  );
  expect(words({ courses: often })).toMatch(/under 4\.74 V, replace the connector\.$/);
  expect(words({ preferred: "replace-at-age" })).toMatch(
    /now \(12 min, cost 8\) and again every 8 weeks, and replace it in 26 weeks \(40 min, cost 147\)/,
  );
  const cleaningOn = decision.courses.map((each) => ({ ...each, replaceUnderVolts: null }));
  expect(words({ courses: cleaningOn })).toMatch(/However low its pod/);
  expect(
    words({
      preferred: "replace-now",
      breakEvenWeeks: null,
      weeksHeld: [{ weeks: 1, atLeast: false }],
    }),
  ).toMatch(/no cleaning can hold long enough to be worth it, and the last one held 1 week\./);
  expect(words({ weeksHeld: [{ weeks: 3, atLeast: true }] })).toMatch(/held at least 3 weeks/);
  expect(words({ stillLowAfterCleaning: true })).toMatch(/oxidised metal/);
  const outlet = { ...placeOf("timer"), connector: "timer outlet" };
  expect(words({ place: outlet })).toMatch(/^Clean the timer outlet now/);
});

test("how long cleanings held is said of each where one word would not do for both", () => {
  const held = (...weeksHeld: Decision["weeksHeld"]): string =>
    decisionWords({ ...decision, weeksHeld }, "pod", "EUR").replace(/.* worth it/, "");
  const weeks = (count: number, atLeast = false) => ({ weeks: count, atLeast });
  expect(held(weeks(3), weeks(2))).toBe(", and the last two held 3 and 2 weeks.");
  expect(held(weeks(3), weeks(1))).toBe(", and the last two held 3 weeks and 1 week.");
  expect(held(weeks(1, true))).toBe(", and the last one held at least 1 week.");
  expect(held(weeks(1, true), weeks(2))).toBe(
    ", and the last two held at least 1 week and 2 weeks.",
  );
  expect(held(weeks(1, true), weeks(2, true))).toBe(
    ", and the last two held at least 1 and at least 2 weeks.",
  );
  expect(held(weeks(2), weeks(0, true))).toBe(", and the last one held 2 weeks.");
  expect(held(weeks(0), weeks(0))).toBe(", and the last two did not hold at all.");
});

test("a currency stands once over its columns, and no line is over 80 columns", () => {
  const read = readPool(
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad]\ncosts: { currency: EUR }\n",
    "",
  );
  if (!read.ok) throw new Error("refused");
  const dear = [
    ...decision.courses.slice(0, 3),
    course("replace-at-age", { presentCost: 1_234_567.2, annualCost: 123_456 }),
  ];
  const text = decideText(read.value, "2026-05-02", [{ ...decision, courses: dear }]);
  expect(text).toMatch(/ {2}cost \[EUR\] +\[EUR\] +best +the next check$/m);
  expect(text).toMatch(/replace it later: no better +1,234,567 +123,456 +25 % +3 %$/m);
  for (const line of text.split("\n")) expect([...line].length).toBeLessThanOrEqual(80);
});

test("a walk that cannot be judged says so, with or without a suspect", () => {
  const read = readPool("pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad]\n", "");
  if (!read.ok) throw new Error("refused");
  const why = "this walk cannot be judged.";
  const start = "Kestrel Bay, walk 2026-05-02: this walk cannot be judged.\n";
  expect(decideText(read.value, "2026-05-02", [], { unjudged: why })).toBe(start);
  const text = decideText(read.value, "2026-05-02", [decision], { unjudged: why });
  expect(text.startsWith(`${start}\n1. Lane 3`)).toBe(true);
});

test("where another course costs nearly the same, that is said beside how sure it is", () => {
  const at = (presentCost: number): string =>
    nearlyText({
      ...decision,
      courses: [course("clean", { presentCost: 80 }), { ...course("replace-now"), presentCost }],
    });
  // Two in a hundred: 81.6.
  expect(at(81.5)).toBe("; to replace it now costs nearly the same");
  expect(at(81.7)).toBe("");
});

test("cautions stand beside the work, in full once", () => {
  const pool = readPool(
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad]\n",
    "pool.yaml",
  );
  if (!pool.ok) throw new Error("refused");
  const place = { ...placeOf("pod", 5, "touchpad"), connector: "pod terminals" };
  const text = decideText(pool.value, "2026-05-02", [decision, { ...decision, place }]);
  expect(text.match(/hypochlorite/g)).toHaveLength(1);
  expect(text.indexOf("hypochlorite")).toBeLessThan(text.indexOf("2. Lane 5"));
  expect(text.match(/Two people lift a touchpad/g)).toHaveLength(1);
  expect(text.indexOf("Two people")).toBeLessThan(text.indexOf("2. Lane 5"));
  expect(text.slice(text.indexOf("2. Lane 5"))).toMatch(/cautions above hold here too/);
  expect(text).toMatch(/> clean it once +80 +12 +62 % +3 %\n +replaced if under 4\.74 V\n/);
});

test("two people for a pad, however its name is written; none for a button", () => {
  const read = readPool(
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [Touchpad, button-1]\n",
    "",
  );
  if (!read.ok) throw new Error("refused");
  const at = (device: string): string => {
    const place = { ...placeOf("pod", 5, device), connector: "pod terminals" };
    return decideText(read.value, "2026-05-02", [{ ...decision, place }]);
  };
  expect(at("Touchpad")).toContain("Two people lift a touchpad");
  expect(at("button-1")).not.toContain("Two people");
});

test("where no current passes, a break is looked for before money is spent", () => {
  const words = (open: number): string => decisionWords({ ...decision, open }, "pod", "XXX");
  expect(words(0.9)).toMatch(
    /^Look for a break first\. No current passes: .* If there is none: Clean/,
  );
  expect(words(0.4)).toMatch(/^Clean/);
});
