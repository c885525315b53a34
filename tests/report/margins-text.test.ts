import { expect, test } from "vitest";
import { marginLines } from "../../src/report/margins-text.ts";

const circuit = { lane: 3, device: "touchpad" };
const between = (low: number, median: number, high: number) => ({ low, median, high });

test("both margins in one line, with their intervals", () => {
  expect(
    marginLines(circuit, {
      kind: "known",
      touch: between(150, 158.4, 165),
      switchKnown: true,
      rest: between(630, 640, 650),
    }),
  ).toEqual([
    "lane 3 touchpad: can gain 158 ohm before a touch is missed (150 to 165); " +
      "a leak under 640 ohm (630 to 650) holds the line down.",
  ]);
});

test("a circuit that misses touches, or may, is said to", () => {
  const line = (low: number, median: number, high: number) =>
    marginLines(circuit, {
      kind: "known",
      touch: between(low, median, high),
      switchKnown: false,
      rest: between(0, 0, 0),
    })[0];
  expect(line(Number.NEGATIVE_INFINITY, -40, -5)).toContain("misses touches already");
  expect(line(-20, 5, 30)).toContain("and may miss touches already");
  expect(line(5, 10, 20)).toContain("the switch itself not counted (no pressed reading)");
  expect(line(5, 10, 20)).toContain("no leak at the device can hold the line down");
});

test("what is missing is asked for, of whoever knows it", () => {
  const lines = marginLines(circuit, {
    kind: "ask",
    missing: ["supply.source_ohms", "timer_input.low_max", "meters.load_ohms"],
  });
  expect(lines).toHaveLength(3);
  expect(lines[0]).toMatch(/^Ask the timer's maker for the resistance/);
  expect(lines[2]).toContain("dropwise meter");
});
