import { describe, expect, test } from "vitest";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { readMoment } from "../../src/intake/moment-text.ts";
import { Strikes } from "../../src/intake/strikes.ts";

const plain: Reading = {
  ...{ lane: 1, device: "touchpad", end: null, point: "pod", volts: volts(4.9) },
  ...{ step: volts(0.01), takenAt: null, walk: "a", meter: "deck", meterOn: false },
  ...{ state: "rest", id: null, by: null, note: null, line: 2 },
};
const at = (text: string): Partial<Reading> => ({ takenAt: readMoment(text) });
const strikes = (...struck: readonly Partial<Reading>[]): Strikes => {
  const all = new Strikes();
  for (const each of struck) all.add({ ...plain, ...each });
  return all;
};

// The contract: by `id` where both have one, else by place, time and value; without a time, by walk.
describe("a reading is struck", () => {
  test.each([
    ["by its id", [{ id: "x" }], { id: "x", volts: volts(4.8), walk: "b" }, true],
    ["not by another's id", [{ id: "x" }], { id: "y" }, false],
    ["not by its id at another point", [{ id: "x" }], { id: "x", point: "plate" }, false],
    ["by its place where it has no id", [{ id: "x" }], {}, true],
    ["by its place where the strike has none", [{}], { id: "x" }, true],
    ["by its place where one strike of two has none", [{}, { id: "x" }], { id: "y" }, true],
    ["the same, told in the other order", [{ id: "x" }, {}], { id: "y" }, true],
    ["not where each strike has an id", [{ id: "x" }, { id: "z" }], { id: "y" }, false],
    ["not at another lane", [{}], { lane: 2 }, false],
    ["not at another value", [{}], { volts: volts(4.8) }, false],
    ["not of another walk", [{}], { walk: "b" }, false],
    [
      "by its moment, whatever the walk",
      [at("2026-05-02T10:00")],
      { ...at("2026-05-02T10:00:00"), walk: "b" },
      true,
    ],
    ["not at another moment", [at("2026-05-02T10:00")], at("2026-05-02T10:01"), false],
    [
      "not with a time where the strike has a day",
      [at("2026-05-02")],
      at("2026-05-02T10:00"),
      false,
    ],
    ["not where nothing is struck", [], {}, false],
  ] as const)("%s", (_, struck, reading, expected) => {
    expect(strikes(...struck).has({ ...plain, ...reading })).toBe(expected);
  });

  test("how many are known, by id and by place", () => {
    expect(strikes().size).toBe(0);
    expect(strikes({}, {}).size).toBe(1);
    expect(strikes({ id: "x" }).size).toBe(2);
    expect(strikes({ id: "x" }, { id: "y" }).size).toBe(3);
  });

  test("a walk's name is no moment", () => {
    const seconds = readMoment("2026-05-02T10:00")!.seconds!;
    const named = strikes({ walk: String(seconds) });
    expect(named.has({ ...plain, ...at("2026-05-02T10:00") })).toBe(false);
  });
});
