import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readMeterSheet } from "../../src/intake/read-meter-sheet.ts";

const read = (text: string) => {
  const sheet = readMeterSheet(text, "meter.csv");
  if (!sheet.ok) throw new Error(`${sheet.error.place} ${sheet.error.message}`);
  return sheet.value;
};
const refused = (text: string) => {
  const sheet = readMeterSheet(text, "meter.csv");
  return sheet.ok ? "" : sheet.error.message;
};

test("resistors as people write them, decimal commas, units, semicolons", () => {
  const { rows, step, rejected } = read(
    "Ohms;Volts\n0;5,01 V\n4,7;4980 mV\n1k;2,5\n100 ohm;4,55\n",
  );
  expect(rejected).toEqual([]);
  expect(rows.map(({ ohms }) => ohms)).toEqual([0, 4.7, 1000, 100]);
  expect(rows.map(({ volts }) => volts)).toEqual([5.01, 4.98, 2.5, 4.55]);
  expect(rows.map(({ line }) => line)).toEqual([2, 3, 4, 5]);
  expect(step).toBe(0.001);
});

test("a study of people, under the headings of the trade", () => {
  const { rows } = read("part,operator,reading\npod 3,KM,4.85\npod 3,RB,4.86\n");
  expect(rows).toEqual([
    { ohms: null, point: "pod 3", by: "KM", volts: 4.85, line: 2 },
    { ohms: null, point: "pod 3", by: "RB", volts: 4.86, line: 3 },
  ]);
});

test("without a point the resistor is the point, without a name nobody read it", () => {
  expect(read("ohms,volts,by\n47,4.8,\n").rows).toEqual([
    { ohms: 47, point: "47 ohm", by: null, volts: 4.8, line: 2 },
  ]);
});

test.each([
  ["47,0", "volts is 0: the path was open or the meter off"],
  ["47,-4.8", "volts is '-4.8': negative; were the leads swapped?"],
  ["47,4800", "volts is '4800': over 60 V"],
  ["47,4;8l", "volts is '4;8l': not a number; did you mean 4.81?"],
  ["47,", "volts is empty"],
  ["oops,4.8", "ohms is 'oops': not a resistance"],
  ["4m,4.8", "ohms is '4m': not a resistance"],
  [",4.8", "neither ohms nor point is filled in"],
  ["47,4.8\u0007", "volts holds the control character U+0007"],
])("the row %s is listed with its line and reason", (row, reason) => {
  const { rows, rejected } = read(`ohms,volts\n0,5.00\n${row}\n`);
  expect(rows).toHaveLength(1);
  expect(rejected).toMatchObject([{ file: "meter.csv", line: 3, text: row }]);
  expect(rejected[0]!.reason).toContain(reason);
});

describe("sheets that cannot be used", () => {
  test.each([
    ["", "is empty"],
    ["ohms,volts\n", "has no rows under its header"],
    ["ohms,amps\n1,2\n", "has no column volts (found 'ohms', 'amps')"],
    ["point,volts\npod,4.9\n", "needs a column ohms (known series resistors), or point and by"],
    ["\0\u0001\n1,\0\n", "is not text"],
  ])("%j: %s", (text, message) => expect(refused(text)).toContain(message));
});

test("every row with something in it comes out once, whatever it holds", () => {
  const cell = fc.string({ maxLength: 12 }).map((text) => text.replaceAll(/[",;\t\r\n\0]/g, ""));
  fc.assert(
    fc.property(fc.array(fc.tuple(cell, cell), { minLength: 1, maxLength: 20 }), (cells) => {
      const filled = cells.filter(([a, b]) => a.trim() !== "" || b.trim() !== "");
      const text = `ohms,volts\n${cells.map((row) => row.join(",")).join("\n")}\n`;
      const sheet = readMeterSheet(text, "meter.csv");
      const out = sheet.ok ? sheet.value.rows.length + sheet.value.rejected.length : 0;
      expect(out).toBe(filled.length);
    }),
  );
});
