import { expect, test } from "vitest";
import { meetDefaults } from "../../src/domain/meet.ts";
import type { PadNote } from "../../src/domain/pad.ts";
import type { TouchCheck } from "../../src/domain/touch.ts";
import { padsDue } from "../../src/meet/pads-due.ts";
import { type MeetInput, type MeetReady, meetReady } from "../../src/meet/ready.ts";
import { readyText } from "../../src/report/ready-text.ts";
import { languageCodes, wordsIn } from "../../src/words/language.ts";
import type { ReasonWords } from "../../src/words/ready-words.ts";
import { kestrelBay, walkOf } from "../meet/pool.ts";
import { figuresOf, wordSet, wordsOf } from "./common-words.ts";

const weak = walkOf(kestrelBay, ({ lane, device }, point) =>
  lane === 3 && point === "plate" && device === "touchpad" ? 0.02 : undefined,
);
const input: MeetInput = {
  pool: kestrelBay,
  date: "2026-06-13",
  looks: [{ diagnosis: weak, day: "2026-06-11", seconds: null }],
  ...{ work: [], touches: null, pads: null, record: null, minutesLeft: null },
};
const at = (day: string) => ({ text: day, day, seconds: null });
const touch = (lane: number, tried: number, registered: number): TouchCheck => ({
  ...{ lane, device: "touchpad", end: null, kind: "fingertip", tried, registered },
  ...{ place: null, heat: null, takenAt: at("2026-06-13"), by: "KM", line: 2 },
});
const water = (day: string, celsius: number, strokes: number | null): PadNote => ({
  ...{ takenAt: at(day), water: celsius, unit: "C", strokes, lane: strokes === null ? null : 1 },
  ...{ soakedMinutes: strokes === null ? null : 12, by: null, note: null, line: 2 },
});
const wet = [water("2026-05-02", 24, 6), water("2026-06-13", 28, null)];

const mornings: readonly MeetReady[] = [
  meetReady(input),
  meetReady({ ...input, minutesLeft: 5, looks: [] }),
  meetReady({
    ...input,
    ...{ minutesLeft: 45, touches: [touch(1, 40, 40), touch(4, 9, 3), touch(5, 20, 20)] },
    pads: padsDue(wet, { ...meetDefaults.pads, readjustDegrees: 3 }),
  }),
];

/** What a lane and a step are told by, in each language. */
const signs = {
  en: {
    lane: "Lane",
    marks: { ready: "ready", "reads sound": "unpressed", WATCH: "watch", "NOT READY": "not ready" },
    steps: {
      "Clean the": "clean",
      "Replace the": "replace",
      "Look for": "look",
      "Read every": "read",
      "Change the": "check pad",
      Dry: "dry device",
      Press: "press",
      "Soak one": "pad strokes",
      "Two people": "set pad",
    },
  },
  de: {
    lane: "Bahn",
    marks: {
      bereit: "ready",
      "in Ordnung gemessen": "unpressed",
      BEOBACHTEN: "watch",
      "NICHT BEREIT": "not ready",
    },
    steps: {
      Reinigen: "clean",
      Ersetzen: "replace",
      Unterbrechung: "look",
      "Jeden Punkt": "read",
      "Stecker an": "check pad",
      "Gerät oder": "dry device",
      "Weiter drücken": "press",
      "Eine Matte": "pad strokes",
      "Zu zweit": "set pad",
    },
  },
} as const;

/** Each lane's mark, each step's kind, and how many of each thing to carry. */
function readBack(text: string, language: "en" | "de") {
  const { lane, marks, steps } = signs[language];
  const byLength = Object.entries(marks).toSorted(([a], [b]) => b.length - a.length);
  const lines = text.split("\n");
  return {
    lanes: lines.flatMap((line) => {
      const [, number, rest] = new RegExp(`^${lane} (\\d+) {2}(.*)`).exec(line) ?? [];
      const mark = byLength.find(([word]) => rest?.startsWith(`${word}  `));
      return number === undefined ? [] : [{ lane: Number(number), mark: mark?.[1] }];
    }),
    steps: lines.flatMap((line) => {
      const [, words] = /^ {1,2}\d+\. (.*)/.exec(line) ?? [];
      const kind = Object.entries(steps).find(([start]) => words?.startsWith(start));
      return words === undefined ? [] : [kind?.[1]];
    }),
    bag: lines.flatMap((line) => /^ +(\d+) × /.exec(line)?.[1] ?? []).map(Number),
  };
}

const names = wordSet(
  "Kestrel Bay touchpad button start min in am meet readjust_degrees chance C so was minute tube hand",
  ...kestrelBay.points,
  ...kestrelBay.connectors.map(({ name }) => name),
);

test("a German morning read back is the English one, and both are what was found", () => {
  for (const morning of mornings) {
    const [en, de] = [readyText(morning), readyText(morning, [], "de")];
    const [english, german] = [readBack(en, "en"), readBack(de, "de")];
    expect(german).toEqual(english);
    expect(german.lanes).toHaveLength(8);
    for (const { lane, mark } of german.lanes) {
      const { verdict, primary } = morning.lanes.find((one) => one.primary.lane === lane)!;
      const isPressed = primary.proof?.state === "proven";
      expect(mark).toBe(verdict === "ready" && !isPressed ? "unpressed" : verdict);
    }
    const kinds = new Map(morning.fixes.map(({ id, kind }) => [id, kind]));
    expect(german.steps).toEqual(morning.plan.steps.map(({ id }) => kinds.get(id)));
    const carried = morning.bag.items.flatMap(({ carry }) => (carry > 0 ? [carry] : []));
    expect(german.bag).toEqual(carried);
  }
  expect(mornings.flatMap(({ plan }) => plan.steps).length).toBeGreaterThan(8);
});

test("German mornings have every figure, no English word and no line over 80 columns", () => {
  for (const morning of mornings) {
    const [en, de] = [readyText(morning), readyText(morning, [], "de")];
    expect(figuresOf(de)).toEqual(figuresOf(en));
    const english = new Set(wordsOf(en, names));
    expect(wordsOf(de, names).filter((word) => english.has(word))).toEqual([]);
    for (const line of de.split("\n")) expect([...line].length, line).toBeLessThanOrEqual(80);
  }
});

/** Every reason, said once in each language. */
const reasons = (say: ReasonWords): readonly string[] => {
  const likely = { probability: 0.8, point: "pod", events: 2, tried: 9 };
  const pad = { ...likely, since: { day: "2026-06-13", heat: "4" }, device: "touchpad" };
  return [
    ...[say["path at fault"](likely), say["path in doubt"](likely), say.stuck(likely)],
    ...[say.leaking(likely), say["pad at fault"]({ ...pad, deadPlace: null })],
    ...[say["pad at fault"]({ ...pad, deadPlace: "left" }), say["false touches"](likely)],
    ...[say["misses too much"](likely), say["not read"](), say["blind meter"]()],
    ...[say["walk too old"](3), say["worked on since"]("pod", "2026-06-12")],
    ...[say["not pressed"](), say["press on"](4, 0.8), say["press on"](null, 0.8)],
  ];
};

test("each reason has words of its own in each language, with the same figures", () => {
  const [english, ...others] = languageCodes.map((code) => reasons(wordsIn(code).ready.reasons));
  expect(new Set(english).size).toBe(english!.length);
  for (const other of others) {
    expect(new Set(other).size).toBe(other.length);
    expect(other.map(figuresOf)).toEqual(english!.map(figuresOf));
    const said = new Set(wordsOf(english!.join(" "), names));
    const left = wordSet("pod touchpad left in am hand");
    expect(wordsOf(other.join(" "), left).filter((word) => said.has(word))).toEqual([]);
  }
});

test("everything that the bag may hold has a German name", () => {
  const { item } = wordsIn("de").ready;
  for (const { bag } of mornings)
    for (const { item: name } of bag.items) {
      const told = item({ item: name, needed: 0.5, enough: null, inRegister: null });
      const bare = name.replace(/^spare: /, "");
      const isConnector = kestrelBay.connectors.some((one) => one.name === bare);
      expect(told.startsWith(isConnector ? `Ersatz: ${bare} (` : bare)).toBe(isConnector);
    }
});
