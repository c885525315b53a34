import fc from "fast-check";
import { expect, test } from "vitest";
import { civilDay, dayNumber, dayText } from "../../src/domain/calendar.ts";

/** Julian day that begins at noon of day 0, 1970-01-01. */
const JULIAN_DAY_OF_EPOCH = 2_440_588;

/**
 * Julian days at noon, from memory of the published tables: J2000.0 (IAU), the first Gregorian
 * day, the Modified Julian Date's day 0 (which begins at midnight, MJD = JD - 2400000.5), and
 * Sputnik's launch day (Meeus, Astronomical Algorithms, chapter 7: 1957 October 4.81 is
 * JD 2436116.31).
 */
test.each([
  ["2000-01-01", 2_451_545],
  ["1582-10-15", 2_299_161],
  ["1858-11-17", 2_400_001],
  ["1957-10-04", 2_436_116],
  ["1970-01-01", 2_440_588],
])("%s is Julian day %i", (text, julianDay) => {
  expect(dayNumber(text)! + JULIAN_DAY_OF_EPOCH).toBe(julianDay);
  expect(dayText(julianDay - JULIAN_DAY_OF_EPOCH)).toBe(text);
});

test("agrees with the platform's own calendar on every day number from 1600 to 2400", () => {
  for (let day = -135_140; day <= 157_054; day++) {
    const text = new Date(day * 86_400_000).toISOString().slice(0, 10);
    if (dayText(day) !== text || dayNumber(text) !== day) expect(dayText(day)).toBe(text);
  }
  expect(dayText(-135_140)).toBe("1600-01-01");
});

test.each(["2026-02-30", "2025-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-5-2", ""])(
  "'%s' is no day",
  (text) => {
    expect(dayNumber(text)).toBeNull();
  },
);

test("text and number are inverse of each other, and a day's hours belong to it", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -700_000, max: 2_900_000 }),
      fc.double({ min: 0, max: 0.99, noNaN: true }),
      (day, hours) => {
        expect(dayNumber(dayText(day))).toBe(day);
        expect(dayText(day + hours)).toBe(dayText(day));
      },
    ),
  );
});

test("the parts of a day are numbers", () => {
  expect(civilDay(dayNumber("2026-05-04")!)).toEqual({ year: 2026, month: 5, dayOfMonth: 4 });
});
