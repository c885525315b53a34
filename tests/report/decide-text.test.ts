import { expect, test } from "vitest";
import type { Decision } from "../../src/domain/decision.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { decideText } from "../../src/report/decide-text.ts";
import { decisionWords, nearlyText, ruleText, sureText } from "../../src/report/decision-words.ts";
import { placeOf } from "../plain-pool.ts";
import { course, decision } from "./one-decision.ts";

test("the sentence says what to do, and the rule to pin to the wall", () => {
  expect(decisionWords(decision, "EUR")).toBe(
    "Clean lane 3's plate connector now (12 min, EUR 8), and read it. The rule: clean it where its pod " +
      "reads under 4.83 V; replace it if it then still reads under 4.60 V, or after the second failure.",
  );
});

test("each action has its own words, and so has each rule", () => {
  const words = (over: Partial<Decision>): string => decisionWords({ ...decision, ...over }, "XXX");
  expect(words({ action: "wait" })).toMatch(/^Leave lane 3's plate connector until the next walk/);
  expect(words({ action: "read-again" })).toMatch(/^Read lane 3's plate connector again before/);
  expect(words({ action: "replace", weeksHeld: [] })).toMatch(
    /^Replace lane 3's plate connector now \(40 min, cost 147\): a cleaning cures it with a chance of 60 %\. The/,
  );
  expect(words({ stillLowAfterCleaning: true })).toMatch(/oxidised metal/);
  const outlet = { ...placeOf("timer"), connector: "timer outlet" };
  expect(words({ place: outlet })).toMatch(/^Clean the timer outlet now/);
  const rule = (over: Partial<Decision["thresholds"]>): string =>
    ruleText({ ...decision, thresholds: { ...decision.thresholds, ...over } });
  expect(rule({ cleanUnder: null })).toMatch(/^No reading/);
  expect(rule({ first: "replace" })).toBe("The rule: replace it where its pod reads under 4.83 V.");
  expect(rule({ replaceUnder: null })).toMatch(/V; replace it after the second failure\.$/);
  expect(rule({ replaceAfter: null })).toMatch(/still reads under 4\.60 V\.$/);
  expect(rule({ replaceAfter: 1 })).toMatch(/still reads under 4\.60 V\.$/);
  expect(rule({ replaceUnder: null, replaceAfter: null })).toMatch(/cleaning on costs less/);
});

test("how long cleanings held is said of each where one word would not do for both", () => {
  const held = (...weeksHeld: Decision["weeksHeld"]): string =>
    decisionWords({ ...decision, action: "replace", weeksHeld }, "EUR").replace(
      /.* chance of 60 %(.*?\.) The rule.*/,
      "$1",
    );
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
  expect(held(weeks(0), weeks(0))).toBe(", and 2 of the 2 on record did not hold at all.");
});

test("a currency stands once over its columns, and no line is over 80 columns", () => {
  const read = readPool(
    "pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad]\ncosts: { currency: EUR }\n",
    "",
  );
  if (!read.ok) throw new Error("refused");
  const dear = [...decision.courses.slice(0, 3), course("replace", { presentCost: 1_234_567.2 })];
  const text = decideText(read.value, "2026-05-02", [{ ...decision, courses: dear }]);
  expect(text).toMatch(/cost \[EUR\] +best$/m);
  expect(text).toMatch(/replace it +1,234,567 +19 %$/m);
  for (const line of text.split("\n")) expect([...line].length).toBeLessThanOrEqual(80);
});

test("a walk that cannot be judged says so, with or without a suspect", () => {
  const read = readPool("pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad]\n", "");
  if (!read.ok) throw new Error("refused");
  const why = "this walk cannot be judged.";
  const start = "Kestrel Bay, walk 2026-05-02: this walk cannot be judged.\n";
  expect(decideText(read.value, "2026-05-02", [], { unjudged: why })).toBe(start);
  const text = decideText(read.value, "2026-05-02", [decision], { unjudged: why });
  expect(text.startsWith(start)).toBe(true);
  expect(text).toContain("\n1. Lane 3");
});

test("where another course costs nearly the same, that is said beside how sure it is", () => {
  const at = (presentCost: number): string =>
    nearlyText({
      ...decision,
      courses: [course("clean", { presentCost: 80 }), { ...course("replace"), presentCost }],
    });
  // Two in a hundred: 81.6.
  expect(at(81.5)).toBe("; to replace it costs nearly the same");
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
  expect(text).toMatch(/> clean it and read +80 +62 %\n/);
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

test("where no current passes, a break is looked for before anything else", () => {
  const broken = { ...decision, action: "look", ifNoBreak: "wait" } as const;
  expect(decisionWords(broken, "XXX")).toMatch(
    /^Look for the break in lane 3's plate connector now \(4 min, cost 3\).* No current passes: .* If that mends nothing, leave/,
  );
  expect(sureText(broken)).toBe("62 % that to wait for the next walk is then the cheapest");
});
