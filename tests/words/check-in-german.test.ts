import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { mayBeBroken } from "../../src/domain/findings.ts";
import { sameCircuit } from "../../src/domain/place.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { checkBrief } from "../../src/report/check-brief.ts";
import { checkText } from "../../src/report/check-text.ts";
import { walkStanding } from "../../src/rooms/circuit-room.ts";
import { diagnoseSeason } from "../../src/rooms/season-room.ts";
import { figuresOf, wordSet, wordsOf } from "./common-words.ts";
import { readBack } from "./read-back.ts";

const file = (name: string): string => readFileSync(`datasets/kestrel-bay/${name}`, "utf8");
const opened = readPool(file("pool.yaml"), "pool.yaml");
if (!opened.ok) throw new Error("the demo's pool file is wrong");
const pool = opened.value;
const { readings: all } = readReadings(file("readings.csv"), pool, "readings.csv");
const { entries } = readWorkLog(file("work.csv"), pool, "work.csv");
const latest = diagnoseSeason(pool, all, entries, "latest").at(-1)!;
const { readings } = latest;
/** As it is where earlier walks inform it. */
const diagnosis = { ...latest.diagnosis, informedBy: ["2026-04-11", "2026-04-18"] };
const checked = { diagnosis, readings, standing: walkStanding(pool, diagnosis, readings) };

const told = {
  brief: { en: checkBrief(pool, checked, false, "en"), de: checkBrief(pool, checked, false, "de") },
  whole: { en: checkText(pool, checked, false, "en"), de: checkText(pool, checked, false, "de") },
};

test("German read back is English read back, and both are what the diagnosis says", () => {
  const [english, german] = [readBack(told.brief.en, "en"), readBack(told.brief.de, "de")];
  expect(german).toEqual(english);
  expect(german.pool).toBe(pool.name);
  expect(german.walk).toBe(diagnosis.walk);
  expect(german.circuits).toBe(diagnosis.circuits.length);
  expect(german.informedBy).toEqual(diagnosis.informedBy);
  const suspects = diagnosis.connectors.filter(({ atFault }) => atFault >= 0.5);
  expect(german.acts).toHaveLength(suspects.length);
  for (const { lane, connector, fails, volts } of german.acts) {
    const found = suspects.find((one) => String(one.lane) === lane)!;
    expect(connector.endsWith(found.connector)).toBe(true);
    expect(fails).toBe(mayBeBroken(found.worst) ? "look" : found.fails[0]!.how);
    expect(volts).toBeCloseTo(found.voltsLost, 2);
  }
  const weak = diagnosis.circuits.filter(({ verdict }) => verdict === "weak");
  expect(german.weak.map(({ lane, device }) => `${lane} ${device}`)).toEqual(
    weak.map(({ lane, device }) => `${lane} ${device}`),
  );
  for (const [i, { volts }] of german.weak.entries()) {
    const own = readings.filter((one) => sameCircuit(one, weak[i]!) && one.point === "pod");
    expect(volts).toBe(Math.min(...own.map((one) => one.volts)));
  }
  const sound = diagnosis.circuits.filter(({ verdict }) => verdict === "sound");
  expect(german.others).toBe(sound.length);
  expect(german.marked.length).toBeGreaterThan(german.weak.length);
});

/** Sentences and rows, whatever a terminal's width made of them: what begins a line of its own. */
const begun = (text: string): number =>
  text.split("\n").filter((line) => /^( {2})?(\S|$)/.test(line) || / {2}\S/.test(line.trim()))
    .length;

test("German has every line that English has, within the same 80 columns", () => {
  for (const { en, de } of Object.values(told)) {
    for (const line of de.split("\n")) expect([...line].length, line).toBeLessThanOrEqual(80);
    const paragraphs = (text: string) => text.split("\n\n").length;
    expect(paragraphs(de)).toBe(paragraphs(en));
  }
  expect(begun(told.whole.de)).toBeGreaterThan(40);
  expect(told.brief.de.trimEnd().split("\n").length).toBeLessThanOrEqual(40);
});

test("every number of the English answer stands in the German one, with its comma", () => {
  for (const { en, de } of Object.values(told)) {
    expect(figuresOf(de)).toEqual(figuresOf(en));
    expect(de).not.toMatch(/\d\.\d+ V/);
  }
});

/** Words that are the pool file's own, a command's, or the same in both languages. */
const names = wordSet(
  pool.name,
  ...pool.points,
  ...pool.circuits.flatMap(({ devices }) => devices),
  ...pool.connectors.map(({ place, name }) => `${place.point} ${name}`),
  ...pool.meters.map(({ name }) => name),
  "details decide supply source_ohms in am die",
);

test("no word of the English answer is left in the German one but names", () => {
  for (const { en, de } of Object.values(told)) {
    const english = new Set(wordsOf(en, names));
    expect(english.size).toBeGreaterThan(60);
    expect(wordsOf(de, names).filter((word) => english.has(word))).toEqual([]);
  }
});
