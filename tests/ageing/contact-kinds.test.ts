import { expect, test } from "vitest";
import { KINDS, kindShares, kindsAfter, kindsAfterWork } from "../../src/ageing/contact-kinds.ts";

const plate = { fouled: 0.7, open: 0.07, intermittent: 0.005 };

test("half a year after it was sound, a contact is what one of unknown history is", () => {
  for (const prior of [plate, { fouled: 0.01, open: 0.001, intermittent: 0.02 }]) {
    const after = kindsAfter(prior, 26);
    kindShares(prior).forEach((share, kind) => {
      expect(after[kind]).toBeCloseTo(share, 9);
    });
  }
});

test("ten weeks and then five are fifteen", () => {
  const [ten, five, fifteen] = [10, 5, 15].map((weeks) => kindsAfter(plate, weeks));
  for (let to = 0; to < KINDS; to++) {
    let sum = 0;
    for (let by = 0; by < KINDS; by++) sum += ten![KINDS + by]! * five![by * KINDS + to]!;
    expect(sum).toBeCloseTo(fifteen![KINDS + to]!, 12);
  }
});

test("a fault left alone heals at one in a hundred a week, and may come again", () => {
  // Without new faults: 1 - exp(-0.01).
  const after = kindsAfter({ fouled: 0, open: 0, intermittent: 0 }, 1);
  expect(after[KINDS]).toBeCloseTo(1 - Math.exp(-0.01), 12);
});

test("cleaning takes off film, not oxide, and seldom closes what is open", () => {
  const after = kindsAfterWork("cleaned", 0.75);
  const at = (from: number, to: number) => after[from * KINDS + to];
  expect(at(1, 0)).toBe(0.75);
  expect(at(2, 2)).toBe(1);
  expect(at(3, 3)).toBe(0.8);
  expect(kindsAfterWork("reseated", 0.75)[3 * KINDS]).toBe(0.5);
  expect(kindsAfterWork("reseated", 0.75)[KINDS + 1]).toBe(1);
});

test("no fault can be certain", () => {
  expect(() => kindsAfter({ fouled: 0.9, open: 0.1, intermittent: 0 }, 1)).toThrow("under 1");
});
