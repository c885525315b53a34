import { expect, test } from "vitest";
import type { Decision } from "../../src/domain/decision.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { decideText } from "../../src/report/decide-text.ts";
import { course, decision } from "../report/one-decision.ts";
import { figuresOf, wordSet, wordsOf } from "./common-words.ts";

const read = readPool("pool: Kestrel Bay\nmodel: plain\nlanes: 8\ndevices: [touchpad]\n", "p");
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;

/** Every action, every kind of rule, cleanings that held and did not. */
const decisions: readonly Decision[] = [
  decision,
  { ...decision, action: "wait", film: 0.004, atFault: 0.999 },
  { ...decision, action: "read-again", stillLowAfterCleaning: true },
  { ...decision, action: "replace", thresholds: { ...decision.thresholds, first: "replace" } },
  { ...decision, action: "replace", weeksHeld: [{ weeks: 0, atLeast: false }] },
  { ...decision, action: "replace", weeksHeld: [{ weeks: 1, atLeast: true }] },
  { ...decision, action: "replace", weeksHeld: [] },
  {
    ...{ ...decision, action: "look", ifNoBreak: "replace" },
    courses: [course("look"), ...decision.courses],
    thresholds: { ...decision.thresholds, replaceUnder: null },
  },
  { ...decision, thresholds: { ...decision.thresholds, replaceUnder: null, replaceAfter: null } },
  { ...decision, thresholds: { ...decision.thresholds, cleanUnder: null } },
];

const told = (language: "en" | "de", one: Decision): string =>
  decideText(pool, "2026-05-02", [one], { language, informedBy: ["2026-04-18"] });

/** What is to be done, by the phrases with which each language begins an instruction. */
const acts = {
  en: {
    "Look for the break in": "look",
    "Leave ": "wait",
    "Read ": "read-again",
    "Clean ": "clean",
    "Replace ": "replace",
  },
  de: {
    "Vor allem anderen jetzt die Unterbrechung": "look",
    "Bis zum nächsten Rundgang lassen": "wait",
    "Vor allem anderen nachmessen": "read-again",
    "Jetzt reinigen": "clean",
    "Jetzt ersetzen": "replace",
  },
} as const;

/** Code and values of one decision's text: where, what to do, the marked course, costs, the rule. */
function readBack(text: string, language: "en" | "de") {
  const lines = text.split("\n");
  const at = lines.findIndex((line) => line.startsWith("1. "));
  const begun = Object.entries(acts[language]).find(([start]) =>
    lines[at + 1]!.trim().startsWith(start),
  );
  const costs = lines
    .filter((line) => /^ {3}[ >] \p{L}.* {2}\d+/u.test(line))
    .map((line) => ({
      isBest: line.trim().startsWith(">"),
      cost: / {2}(\d+)( |$)/.exec(line)![1],
      chance: / (\d+) %$/.exec(line)?.[1] ?? null,
    }));
  const volts = [...text.replace(/\n */g, " ").matchAll(/(?:under|unter) (\d[.,]\d\d) V/g)];
  return {
    where: lines[at]!.replace(/^1\. (Lane|Bahn) /, "").replace(/:.*$/, ""),
    act: begun?.[1],
    costs,
    rule: volts.map((one) => one[1]!.replace(",", ".")),
  };
}

test("every decision read back from German is the one read back from English, and the policy's", () => {
  for (const one of decisions) {
    const [english, german] = [readBack(told("en", one), "en"), readBack(told("de", one), "de")];
    expect(german).toEqual(english);
    expect(german.act).toBe(one.action);
    expect(german.where).toBe("3 plate connector");
    expect(german.costs.map(({ cost }) => Number(cost))).toEqual(
      one.courses.map(({ presentCost }) => presentCost),
    );
    expect(german.costs.findIndex(({ isBest }) => isBest)).toBe(
      one.courses.findIndex(({ kind }) => kind === one.action),
    );
    const { cleanUnder, replaceUnder, first } = one.thresholds;
    const under = first === "replace" ? [cleanUnder] : [cleanUnder, replaceUnder];
    expect(german.rule.map(Number)).toEqual(
      cleanUnder === null || one.action === "look" ? [] : under.filter((volts) => volts !== null),
    );
  }
});

const names = wordSet("Kestrel Bay plate connector pod min in am was chance");

test("German decisions have every figure, no English word and no line over 80 columns", () => {
  for (const one of decisions) {
    const [en, de] = [told("en", one), told("de", one)];
    expect(figuresOf(de)).toEqual(figuresOf(en));
    const english = new Set(wordsOf(en, names));
    expect(wordsOf(de, names).filter((word) => english.has(word))).toEqual([]);
    for (const line of de.split("\n")) expect([...line].length, line).toBeLessThanOrEqual(80);
  }
});

test("nothing to decide, a walk that cannot be judged and work done since have German words", () => {
  expect(decideText(pool, "2026-05-02", [], { language: "de" })).toBe(
    "Kestrel Bay, Rundgang 2026-05-02: keine Verbindung ist verdächtig; nichts zu\n" +
      "  reinigen oder zu ersetzen.\n",
  );
  const again = [
    { place: decision.place, action: "replaced", date: "2026-05-03", atFault: 1 },
  ] as const;
  expect(decideText(pool, "2026-05-02", [], { language: "de", again })).toContain(
    "Bahn 3 plate connector: ersetzt am 2026-05-03, nach dem letzten Rundgang",
  );
});
