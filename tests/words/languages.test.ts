import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { explanationKinds } from "../../src/domain/explanation-kinds.ts";
import type { CircuitName } from "../../src/domain/place.ts";
import { languageCodes, wordsIn } from "../../src/words/language.ts";
import type { Words } from "../../src/words/words.ts";

const [english, ...others] = languageCodes.map(wordsIn) as [Words, ...Words[]];

/** Every plain phrase of a language, by its path in the dictionary. */
function phrases(of: object, path = ""): readonly (readonly [string, string])[] {
  return Object.entries(of).flatMap(([key, value]: [string, unknown]) =>
    typeof value === "string"
      ? [[`${path}${key}`, value] as const]
      : typeof value === "object" && value !== null
        ? phrases(value, `${path}${key}.`)
        : [],
  );
}

/** Numbers of columns and the like are the same in any language. */
const isSign = (phrase: string): boolean => !/\p{L}{2}/u.test(phrase);

test("no phrase of another language is English, and none is empty", () => {
  const own = phrases(english).filter(([, phrase]) => !isSign(phrase));
  expect(own.length).toBeGreaterThan(60);
  for (const other of others) {
    const theirs = new Map(phrases(other));
    for (const [path, phrase] of own) {
      expect(theirs.get(path), path).not.toBe(phrase);
      expect((theirs.get(path) ?? "").trim(), path).not.toBe("");
    }
  }
});

test("two codes never have the same words, so that each can be read back", () => {
  for (const { verdicts, suspects, check, cautions } of [english, ...others])
    for (const table of [
      verdicts.verdicts,
      verdicts.doubts,
      verdicts.weaknesses,
      suspects.failings,
      suspects.ways,
      check.marks,
      Object.fromEntries(Object.entries(cautions.each).map(([id, { words }]) => [id, words])),
    ])
      expect(new Set(Object.values(table)).size).toBe(Object.keys(table).length);
});

test("every explanation has words of its own and names its place and its figures", () => {
  const told = {
    one: {
      ...{ lane: 3, device: "pad", end: "turn", point: "socket", of: "7 lamp", probability: 0.2 },
    },
    found: { median: 4.714, low: 4.625, high: 4.836 },
    ...{ nominal: 5.125, hasSeveral: true, loadOhms: 1230 },
  };
  for (const { explanations } of [english, ...others]) {
    const all = explanationKinds.map((kind) =>
      explanations.kinds[kind]({ ...told, one: { ...told.one, kind } }),
    );
    expect(new Set(all.map(({ words }) => words)).size).toBe(explanationKinds.length);
    const of = (kind: (typeof explanationKinds)[number]) => all[explanationKinds.indexOf(kind)]!;
    for (const kind of ["stuck", "leaking", "wet", "points-swapped", "crossed"] as const)
      expect(of(kind).words).toMatch(/ 3 pad .*turn/);
    expect(of("wet").words).toContain("socket");
    expect(of("supply-low").words).toMatch(/4[.,]71 V .*4[.,](62|63) .* 4[.,]84 V.*5[.,]1[23] V/);
    expect(of("meter-load").words).toContain("1230 Ω");
    for (const { words, wouldTell } of all) {
      expect(words.endsWith(".")).toBe(true);
      expect(wouldTell.endsWith(".")).toBe(true);
    }
  }
});

/** The cautions' figures and sources stand in `words/caution-words.ts`. */
test("a caution keeps its figures and its count of sentences in every language", () => {
  const numbers = (text: string) => text.match(/\d+/g) ?? [];
  for (const other of others)
    for (const [id, { words }] of Object.entries(english.cautions.each)) {
      const theirs = other.cautions.each[id as keyof typeof other.cautions.each].words;
      expect(numbers(theirs)).toEqual(numbers(words));
      expect(theirs.split(". ").length, id).toBe(words.split(". ").length);
    }
});

test("one and many, ends and groups of lanes are right in German", () => {
  const { places, figures, check, suspects } = wordsIn("de");
  const start: CircuitName = { lane: null, device: "start", end: null };
  expect(places.circuit({ lane: 4, device: "touchpad", end: "turn" })).toBe(
    "Bahn 4 touchpad (Seite turn)",
  );
  expect(places.circuit(start)).toBe("start");
  expect(places.laneCell(start)).toBe("keine");
  const shared = { lane: null, device: null, end: null, lanes: [1, 2, 3, 4] } as const;
  expect(places.connector({ ...shared, sharing: "lanes", connector: "harness" })).toBe(
    "harness (Bahnen 1 bis 4)",
  );
  expect([1, 2].map((count) => places.counted(count, "connector"))).toEqual([
    "1 Steckverbindung",
    "2 Steckverbindungen",
  ]);
  expect([1, 2].map((count) => suspects.others(count, 0.05))).toEqual([
    "1 andere Verbindung liegt unter 5 %.",
    "2 andere Verbindungen liegen unter 5 %.",
  ]);
  expect([1, 3].map((count) => check.othersSound(count, "4,96 V"))).toEqual([
    "1 anderer Stromkreis ist in Ordnung: am letzten Punkt 4,96 V oder mehr.",
    "3 andere Stromkreise sind in Ordnung: am letzten Punkt 4,96 V oder mehr.",
  ]);
  expect([0.999, 0.5, 0.004].map(figures.percent)).toEqual(["über 99 %", "50 %", "unter 1 %"]);
  expect([0.31, 82.4, 1234, 1e12].map(figures.ohms)).toEqual(["0,31 Ω", "82 Ω", "1234 Ω", "offen"]);
  expect(figures.money(-1240.4, "EUR")).toBe("−EUR 1.240");
});

test("what speaks any language asks no file that speaks English alone", () => {
  const files = readdirSync("src/report").filter((file) => file.endsWith(".ts"));
  const speaking = files
    .map((file) => ({ file, source: readFileSync(`src/report/${file}`, "utf8") }))
    .filter(({ source }) => source.includes('"../words/words.ts"'));
  expect(speaking.length).toBeGreaterThan(5);
  const mixed = speaking.filter(({ source }) => /"(\.\/names|\.\.\/words\/english)/.test(source));
  expect(mixed.map(({ file }) => file)).toEqual([]);
});
