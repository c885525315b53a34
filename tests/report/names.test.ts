import { expect, test } from "vitest";
import { ohmsFigures, ohmsText, weeksText } from "../../src/report/names.ts";

test("a resistance has two figures, is whole from 100 on, and never has an exponent", () => {
  expect([0.0034, 0.31, 4.05, 82.4, 99.4, 99.6, 102, 1234].map((ohms) => ohmsText(ohms))).toEqual([
    "0.0034 Ω",
    "0.31 Ω",
    "4.0 Ω",
    "82 Ω",
    "99 Ω",
    "100 Ω",
    "102 Ω",
    "1234 Ω",
  ]);
  for (let power = -12; power <= 30; power += 0.01)
    expect(ohmsFigures(10 ** power)).not.toMatch(/e[+-]/);
});

test("what no meter tells from an open contact is called open, with no unit behind it", () => {
  expect(ohmsText(Number.POSITIVE_INFINITY)).toBe("open");
  expect(ohmsText(3e22)).toBe("open");
});

test("one week is one week", () => {
  expect([0.6, 1.2, 1.5, 12].map(weeksText)).toEqual(["1 week", "1 week", "2 weeks", "12 weeks"]);
});
