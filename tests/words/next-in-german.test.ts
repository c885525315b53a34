import { expect, test } from "vitest";
import { nextReadings } from "../../src/diagnosis/next-reading.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { nextText, suspectText } from "../../src/report/next-text.ts";
import { diagnose } from "../../src/rooms/diagnosis-room.ts";
import { wordsIn } from "../../src/words/language.ts";
import { figuresOf, wordSet, wordsOf } from "./common-words.ts";

const read = readPool("pool: Kestrel Bay\nmodel: plain\nlanes: 3\ndevices: [touchpad]\n", "p");
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;
const rows = "1,pod,4.97\n2,harness,4.98\n2,pod,4.41\n";
const { readings } = readReadings(`lane,point,volts\n${rows}`, pool, "deck.csv");
const advice = nextReadings(pool, readings, 5);

/** How a reading is taken, by the words of each language. */
const acts = {
  en: { "as always": "read", "plug moved": "move", unplugged: "unplug" },
  de: { "wie immer": "read", "Stecker bewegt": "move", abgesteckt: "unplug" },
} as const;

/** Rank, lane, device, point and act of each row. */
const readBack = (text: string, language: "en" | "de") =>
  text.split("\n").flatMap((line) => {
    const cells = line.trim().split(/ {2,}/);
    const act = acts[language][cells[4] as keyof (typeof acts)[typeof language]];
    return cells.length === 6 && act !== undefined
      ? [{ lane: Number(cells[1]), device: cells[2], point: cells[3], act }]
      : [];
  });

test("the next readings read back from German are those that the diagnosis names", () => {
  const [en, de] = [nextText(pool, advice), nextText(pool, advice, "de")];
  expect(readBack(de, "de")).toEqual(
    advice.readings.map(({ lane, device, point, act }) => ({ lane, device, point, act })),
  );
  expect(readBack(de, "de")).toEqual(readBack(en, "en"));
  expect(figuresOf(de)).toEqual(figuresOf(en));
  const names = wordSet("Kestrel Bay", ...pool.points, "touchpad in");
  const english = new Set(wordsOf(en, names));
  expect(wordsOf(de, names).filter((word) => english.has(word))).toEqual([]);
  for (const line of de.split("\n")) expect([...line].length, line).toBeLessThanOrEqual(80);
});

test("why to stop, what to unplug and the suspect so far have German words", () => {
  const stopped = {
    readings: [],
    unplug: advice.readings.slice(0, 1),
    stop: "all-settled",
  } as const;
  const lines = nextText(pool, stopped, "de").split("\n");
  expect(lines[0]).toMatch(/^Hier aufhören: jeder Stromkreis ist in Ordnung oder schwach/);
  expect(lines.join(" ")).toMatch(/Oder abstecken: Bahn \d touchpad/);
  const german = suspectText(diagnose(pool, readings), wordsIn("de"));
  expect(german).toMatch(/^ {3}verdächtig: Bahn 2 .* Verlust 0,\d\d V\n$/);
});
