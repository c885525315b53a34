import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { decimalsOf, meantVolts, readVolts } from "../../src/intake/volts-text.ts";

describe("a value as people and spreadsheets write it", () => {
  // Values and steps by hand: one unit of the last decimal, times the unit's power of ten.
  test.each<[string, number, number]>([
    ["4.91", 4.91, 0.01],
    ["4.910", 4.91, 0.001],
    ["4,91", 4.91, 0.01],
    ["4", 4, 1],
    ["4.", 4, 1],
    [".5", 0.5, 0.1],
    [",5", 0.5, 0.1],
    ["0", 0, 1],
    ["-0.00", 0, 0.01],
    ["+4.9", 4.9, 0.1],
    ["-0.02", -0.02, 0.01],
    ["\u22120.02", -0.02, 0.01],
    ["4.91 V", 4.91, 0.01],
    ["4.91V", 4.91, 0.01],
    ["4.91 volt", 4.91, 0.01],
    ["4.91 Volts", 4.91, 0.01],
    ["4.91 VDC", 4.91, 0.01],
    ["4.91 V DC", 4.91, 0.01],
    ["4910 mV", 4.91, 0.001],
    ["4910mv", 4.91, 0.001],
    ["4910.5 mV", 4.9105, 0.0001],
    ["4 910 mV", 4.91, 0.001],
    ["4\u202F910 mV", 4.91, 0.001],
    ["4\u00A0910 mV", 4.91, 0.001],
    ["4.91E+00", 4.91, 0.01],
    ["4.91e-1", 0.491, 0.001],
    ["491e-2", 4.91, 0.01],
    ["0.491e1", 4.91, 0.01],
    ["12.3e1", 123, 1],
    ["12e2", 1200, 100],
    ["\uFF14.\uFF19\uFF11", 4.91, 0.01],
    ["  4.91  ", 4.91, 0.01],
    ["1234.5", 1234.5, 0.1],
    ["12345.6", 12345.6, 0.1],
    ["4.9100000000", 4.91, 1e-10],
    ["4.91000000000", 4.91, 1e-11],
  ])("%j is %d V in steps of %d V", (text, volts, step) => {
    const read = readVolts(text);
    expect(read).toEqual({ volts, step });
    // Never minus zero, which would print as such.
    expect(Object.is(read!.volts, -0)).toBe(false);
  });

  test.each([
    ...[
      "",
      " ",
      ".",
      "-",
      "V",
      "mV",
      "4.91 A",
      "4.9.1",
      "4..9",
      "4,9,1",
      "--4",
      "4.91 V V",
      "0x14",
      "1e",
      "1e1.5",
    ],
    ...[
      "4.91 ohm",
      "a4.91",
      "4.91a",
      "12 34",
      "1234 567",
      "4 9",
      "1e123",
      "Infinity",
      "NaN",
      "4.91  V",
      "4.91\n4.92",
    ],
    `${"0".repeat(38)}4.91`,
  ])("%j is none", (text) => {
    expect(readVolts(text)).toBeNull();
  });

  test("forty characters are read, one more is not a number that anybody wrote", () => {
    const forty = `4.${"0".repeat(38)}`;
    expect(forty).toHaveLength(40);
    expect(readVolts(forty)?.volts).toBe(4);
    expect(readVolts(`${forty}0`)).toBeNull();
  });
});

describe("millivolts", () => {
  test("under a heading in millivolts a bare number is millivolts, one with its own unit is not", () => {
    expect(readVolts("4910", -3)).toEqual({ volts: 4.91, step: 0.001 });
    expect(readVolts("4910.5", -3)).toEqual({ volts: 4.9105, step: 0.0001 });
    expect(readVolts("4.91 V", -3)).toEqual({ volts: 4.91, step: 0.01 });
    expect(readVolts("4910 mV", -3)).toEqual({ volts: 4.91, step: 0.001 });
    expect(readVolts("4.91", -3)).toEqual({ volts: 0.00491, step: 0.00001 });
  });

  test.each(["4,910 mV", "4.910 mV", "49,100 mV", "491,000 mV", "04.910 mV"])(
    "%j may be a thousand times as much, and is not read",
    (text) => {
      expect(readVolts(text)).toBeNull();
    },
  );

  test.each<[string, number]>([
    ["0.910 mV", 0.00091],
    ["4.91 mV", 0.00491],
    ["4.9100 mV", 0.00491],
    ["4910.250 mV", 4.91025],
    [".910 mV", 0.00091],
  ])("%j is not in doubt", (text, volts) => {
    expect(readVolts(text)?.volts).toBe(volts);
  });

  test("in volts three decimals are three decimals", () => {
    expect(readVolts("4.910 V")).toEqual({ volts: 4.91, step: 0.001 });
    expect(readVolts("4,910")).toEqual({ volts: 4.91, step: 0.001 });
  });

  test("4910 mV is the very number that 4.910 is, to the last bit", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 99_999 }), (millivolts) => {
        const inVolts = readVolts((millivolts / 1000).toFixed(3));
        expect(readVolts(`${millivolts} mV`)).toEqual(inVolts);
        expect(readVolts(String(millivolts), -3)).toEqual(inVolts);
      }),
    );
  });
});

describe("what was meant by a slip of the hand", () => {
  test.each<[string, string]>([
    ["4.9l", "4.91"],
    ["4.9I", "4.91"],
    ["4.9|", "4.91"],
    ["4.9!", "4.91"],
    ["4.oO", "4"],
    ["4.Q1", "4.01"],
    ["4.D1", "4.01"],
    ["4.s1", "4.51"],
    ["4.S1", "4.51"],
    ["4.B1", "4.81"],
    ["4;91", "4.91"],
    ["4:91", "4.91"],
    ["4·91", "4.91"],
    ["4,,91", "4.91"],
    ["4..91", "4.91"],
    ["4.91x", "4.91"],
    ["491", "4.91"],
    ["4910", "4.91"],
    ["49.1", "4.91"],
    ["4.91", "4.91"],
    ["5.5", "5.5"],
    ["55", "5.5"],
    ["60", "0.6"],
    ["0.3", "0.3"],
    ["4.123456789123", "4.12345679"],
  ])("%j was %s", (text, meant) => {
    expect(meantVolts(text, 5.5)).toBe(meant);
  });

  test.each([...["", "wet", "4.9 5.0 and 4.8 V", "4.91 / 4.92", "x", "90000", "4".repeat(41)]])(
    "%j may have been anything",
    (text) => {
      expect(meantVolts(text, 5.5)).toBeNull();
    },
  );
});

test("decimals of a display, none where it steps by whole volts", () => {
  expect([10, 1, 0.1, 0.01, 0.001, 1e-9].map(decimalsOf)).toEqual([0, 0, 1, 2, 3, 9]);
});
