import { expect, test } from "vitest";
import { KeptTexts } from "../../src/intake/kept-texts.ts";

test("a text comes back from where it was put; nothing is nowhere", () => {
  const kept = new KeptTexts();
  const texts = ["was loose", "", "Όρμος", "🏊", "\ufeffx", "a".repeat(70_000)];
  const places = texts.map((text) => kept.add(text));
  expect(places.map((place) => kept.at(place))).toEqual(texts);
  expect(kept.add(null)).toBe(0);
  expect(kept.at(0)).toBeNull();
});

test("neighbours that are equal share a place, others have their own", () => {
  const kept = new KeptTexts();
  const [one, again, other, late] = ["x", "x", "y", "x"].map((text) => kept.add(text));
  expect(again).toBe(one);
  expect(other).not.toBe(one);
  expect(late).not.toBe(one);
  expect([kept.at(one!), kept.at(other!), kept.at(late!)]).toEqual(["x", "y", "x"]);
  // The first text of all may be empty, and is not nothing.
  const empty = new KeptTexts();
  expect(empty.at(empty.add(""))).toBe("");
});

// Pieces are of a mebibyte: nine texts of 300,000 bytes fill several.
test("texts that fill more than one piece come out whole", () => {
  const kept = new KeptTexts();
  const texts = Array.from({ length: 9 }, (_, k) => String(k).repeat(300_000));
  const places = texts.map((text) => kept.add(text));
  for (const [k, place] of places.entries()) expect(kept.at(place) === texts[k]).toBe(true);
});

test("a cell longer than a piece is refused", () => {
  expect(() => new KeptTexts().add("x".repeat(2 ** 20))).toThrow("1048576 characters");
});
