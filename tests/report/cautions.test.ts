import { expect, test } from "vitest";
import { fixes } from "../../src/domain/fixes.ts";
import type { WorkStep } from "../../src/domain/work.ts";
import { cautions, cautionsFor } from "../../src/report/cautions.ts";

const wordsFor = (step: WorkStep): string =>
  cautionsFor(step)
    .map((caution) => caution.words)
    .join(" ");

/** NIOSH Pocket Guide, isopropyl alcohol: flash point 53 °F. Verified; 11.7 °C is computed. */
test("the solvent's flash point is the published one, in both scales", () => {
  expect(wordsFor("clean")).toContain("53 °F");
  expect(Math.round(((53 - 32) * 5) / 9)).toBe(12);
  expect(wordsFor("clean")).toContain("12 °C");
});

/** Fire Engineering, "Swimming pool disinfectants": propyl alcohol on the list. Verified. */
test("whoever cleans reads of oxidisers, ignition, air, drying and whose work the mains is", () => {
  for (const word of [/calcium hypochlorite/, /flames/, /Ventilate/, /evaporate/, /electrician/])
    expect(wordsFor("clean")).toMatch(word);
});

test("a replacement brings no solvent caution, lifting pads brings the second person", () => {
  expect(wordsFor("replace")).not.toMatch(/alcohol/);
  expect(wordsFor("replace")).toMatch(/local electrical code for wet areas/);
  expect(wordsFor("lift-pads")).toMatch(/Two people/);
});

test("whatever opens a connector on the morning has the supply off, and leave in a session", () => {
  for (const fix of ["look", "clean", "replace"] as const) {
    const told = fixes[fix].map(wordsFor).join(" ");
    expect(told, fix).toMatch(/Disconnect the timer's supply/);
    expect(told, fix).toMatch(/Open nothing during a session without the leave/);
  }
});

test("every step says that nothing is certified, and each caution stands once", () => {
  for (const step of ["measure", "clean", "replace", "lift-pads"] as const)
    expect(wordsFor(step)).toMatch(/certifies nothing/);
  const steps = ["measure", "clean", "replace", "lift-pads", "seal", "over-water", "deck"] as const;
  const all = cautionsFor(...steps);
  expect(all).toEqual(cautions);
  expect(new Set(all.map((caution) => caution.id)).size).toBe(all.length);
});

/** Figures that could not be confirmed must not be stated: the code article's volts, a 70 % mix. */
test("no unconfirmed figure is stated", () => {
  const all = cautions.map((caution) => caution.words).join(" ");
  expect(all).not.toMatch(/680|15 V|21\.2|70 %|18 °C/);
});
