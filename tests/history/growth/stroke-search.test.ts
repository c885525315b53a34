import { expect, test } from "vitest";
import { trend } from "../../../src/history/trend.ts";
import { findingOf, poolOf, walkOf } from "../synthetic.ts";

const pool = poolOf(3, ["plate", "pod"]);

/** Twelve weekly walks; lane 1's plate at these ohms, all else sound. */
const seasonOf = (ohmsIn: (week: number) => number) =>
  trend(
    pool,
    Array.from({ length: 12 }, (_, week) =>
      walkOf(
        7 * week,
        pool.lanes.flatMap((lane) =>
          ["plate", "pod"].map((point) =>
            findingOf(
              pool,
              { lane, device: "touchpad", point },
              lane === 1 && point === "plate" ? ohmsIn(week) : 0.2,
              0.5,
            ),
          ),
        ),
        12,
      ),
    ),
    [],
  ).contacts;

const plateOf = (contacts: ReturnType<typeof seasonOf>) =>
  contacts.find(({ lane, point }) => lane === 1 && point === "plate")!;

test("from nothing to 60 ohm between two walks is a stroke, and its line passes what was read", () => {
  const contacts = seasonOf((week) => (week < 8 ? 0.2 : 60));
  const plate = plateOf(contacts);
  expect(plate.stroke).toEqual({ after: "1970-02-19", until: "1970-02-26" });
  // Readings of 10 mV steps behind 1 kilohm tell 60 ohm to some 5 of them.
  expect(plate.ohms.low).toBeLessThan(60);
  expect(plate.ohms.high).toBeGreaterThan(60);
  expect(plate.ohms.median).toBeGreaterThan(50);
  expect(plate.ohms.median).toBeLessThan(70);
  for (const other of contacts) if (other !== plate) expect(other.stroke).toBeNull();
});

test("what grows, by a share of itself or by ohms, is no stroke", () => {
  expect(plateOf(seasonOf((week) => 4 * Math.exp(0.25 * week))).stroke).toBeNull();
  expect(plateOf(seasonOf((week) => 0.2 + 6 * week)).stroke).toBeNull();
});

test("a contact that is fouled already, and rises, was not struck", () => {
  expect(plateOf(seasonOf((week) => (week < 6 ? 20 : 34))).stroke).toBeNull();
});
