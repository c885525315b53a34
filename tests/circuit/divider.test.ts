import { describe, expect, test } from "vitest";
import {
  contactOhmsBetween,
  readingVolts,
  seriesOhmsFromReading,
} from "../../src/circuit/divider.ts";
import { ohms, volts } from "../../src/domain/units.ts";

const none = ohms(0);
const runningSum = (values: readonly number[]) =>
  values.map((_, k) => values.slice(0, k + 1).reduce((sum, value) => sum + value, 0));

describe("the reading behind a series resistance", () => {
  test("45 V over 5, 10 and 7.5 kΩ leaves 15 V on the last resistor", () => {
    // Kuphaldt, Lessons In Electric Circuits I, ch. 6, figure 00106 (verified).
    expect(readingVolts(volts(45), ohms(7500), ohms(5000), ohms(10_000))).toBeCloseTo(15, 9);
    expect(readingVolts(volts(45), ohms(17_500), none, ohms(5000))).toBeCloseTo(45 - 10, 9);
  });

  test.each([
    [12, 0.1, 10, 11.9],
    [12, 0.1, 0.5, 10.0],
    [12, 0.5, 0.5, 6.0],
  ])("a %d V source of %d Ω inside shows %d Ω its terminal voltage", (emf, inside, load, seen) => {
    // OpenStax College Physics 2e, sec. 21.2 (memory: problem recalled, results recomputed).
    const terminal = readingVolts(volts(emf), ohms(load), ohms(inside), none);
    expect(Math.abs(terminal - seen)).toBeLessThan(0.05);
  });

  test.each([
    [10_000, [4.999750012, 4.998750312, 4.973887099, 4.973392349]],
    [1000, [4.997501249, 4.987531172, 4.750593824, 4.74608448]],
  ])("a 5 V chain of four contacts read by a meter of %d Ω", (load, expected) => {
    // Ohm's law, check values G1-13 and G1-14 (computed).
    const sums = runningSum([0.5, 2, 50, 1]);
    const shown = sums.map((series) => readingVolts(volts(5), ohms(load), none, ohms(series)));
    for (const [k, seen] of expected.entries()) {
      expect(Math.abs(shown[k]! - seen)).toBeLessThan(1e-8);
    }
  });

  test("an open contact reads 0 on any meter, and an ideal meter shows the EMF", () => {
    const open = ohms(Number.POSITIVE_INFINITY);
    expect(readingVolts(volts(5), ohms(1000), none, open)).toBe(0);
    expect(readingVolts(volts(5), open, none, open)).toBe(0);
    expect(readingVolts(volts(5), open, ohms(50), ohms(100))).toBe(5);
  });

  test("a meter of 10 MΩ moves by 50 µV for a contact of 100 Ω", () => {
    // Ohm's law: 5 V * 100 / 10 000 100 (computed).
    const moved = 5 - readingVolts(volts(5), ohms(10e6), none, ohms(100));
    expect(moved).toBeCloseTo(50e-6, 8);
  });
});

describe("the resistance behind a reading", () => {
  test.each([
    [1000, 4.5, 111.1111111],
    [1000, 4.75, 52.63157895],
    [220, 4.0, 55.0],
    [10e6, 4.99, 20_040.08016],
  ])("on a meter of %d Ω a reading of %d V means %d Ω", (load, reading, expected) => {
    // Ohm's law, check values G1-15 (computed).
    const found = seriesOhmsFromReading(volts(5), ohms(load), none, volts(reading));
    expect(found / expected).toBeCloseTo(1, 8);
  });

  test("the source's own resistance is taken off", () => {
    // 5 V * 1000 / (1000 + 20 + 30) with Rs = 20 Ω, S = 30 Ω (computed).
    expect(seriesOhmsFromReading(volts(5), ohms(1000), ohms(20), volts(5000 / 1050))).toBeCloseTo(
      30,
      9,
    );
  });

  test("neighbouring readings give back each contact of the chain", () => {
    // Check values G1-13 (computed): read to nine decimals at 10 kΩ, back within 1e-6 Ω of rounding.
    const contacts = [0.5, 2, 50, 1];
    const seen = [
      5,
      ...runningSum(contacts).map((s) => readingVolts(volts(5), ohms(10_000), none, ohms(s))),
    ];
    for (const [k, contact] of contacts.entries()) {
      const between = contactOhmsBetween(
        volts(5),
        ohms(10_000),
        volts(seen[k]!),
        volts(seen[k + 1]!),
      );
      expect(between).toBeCloseTo(contact, 6);
    }
  });

  test("a zero is an open contact where it begins and says nothing behind that", () => {
    expect(seriesOhmsFromReading(volts(5), ohms(1000), none, volts(0))).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(contactOhmsBetween(volts(5), ohms(1000), volts(5), volts(0))).toBe(
      Number.POSITIVE_INFINITY,
    );
    expect(contactOhmsBetween(volts(5), ohms(1000), volts(0), volts(0))).toBeNull();
  });
});
