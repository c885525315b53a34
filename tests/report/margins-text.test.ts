import { expect, test } from "vitest";
import type { CircuitStanding, Margins, MissingFigure } from "../../src/domain/margins.ts";
import { volts } from "../../src/domain/units.ts";
import { marginLines as marginLinesIn } from "../../src/report/margins-text.ts";
import { english } from "../../src/words/english.ts";
import { demoPool } from "../circuit/demo-pool.ts";

const pool = { ...demoPool, timerInput: { lowMax: volts(0.8), highMin: volts(2) } };
const marginLines = (of: typeof pool, circuits: readonly CircuitStanding[]) =>
  marginLinesIn(of, circuits, english);
const between = (low: number, median: number, high: number) => ({ low, median, high });
const circuit = (lane: number, margins: Margins): CircuitStanding => ({
  lane,
  device: "touchpad",
  end: null,
  margins,
});
const known = (lane: number, low: number, median: number, high: number, switchKnown = true) =>
  circuit(lane, {
    kind: "known",
    touch: between(low, median, high),
    switchKnown,
    rest: between(630, 640, 650),
  });

test("the tightest circuits by name with both margins, the others in one line", () => {
  const circuits = [300, 150, 250, 200, 260].map((low, i) => known(i + 1, low, low + 8, low + 15));
  expect(marginLines(pool, circuits)).toEqual([
    "Margins at the timer's input (touch at 0.80 V or under, rest at 2.00 V or over), tightest " +
      "first (90 %)",
    "  lane 2 touchpad: can gain 158 Ω before a touch is missed (150 to 165); " +
      "a leak under 640 Ω (630 to 650) holds the line down.",
    expect.stringContaining("lane 4 touchpad: can gain 208 Ω"),
    expect.stringContaining("lane 3 touchpad"),
    "  The 2 others can gain 260 Ω or more.",
    "",
  ]);
});

test("a circuit that misses touches, or may, is said to", () => {
  const line = (one: CircuitStanding) => marginLines(pool, [one])[1];
  expect(line(known(1, Number.NEGATIVE_INFINITY, -40, -5))).toContain("misses touches already");
  expect(line(known(1, -20, 5, 30))).toContain("and may miss touches already");
  const never = { kind: "known", touch: between(1, 2, 3), switchKnown: true } as const;
  expect(line(circuit(1, { ...never, rest: between(0, 0, 0) }))).toContain("no leak");
  expect(line(circuit(1, { ...never, rest: between(1, 2, Number.POSITIVE_INFINITY) }))).toContain(
    "(1.0 to unlimited)",
  );
});

test("every circuit that may miss touches has a name, up to a dozen", () => {
  const some = Array.from({ length: 20 }, (_, i) => known(i, -1, 4, 9));
  const lines = marginLines(pool, some);
  expect(lines.filter((line) => line.includes("may miss touches already"))).toHaveLength(12);
  expect(lines).toContain("  The 8 others may miss touches too.");
});

test("where a switch was not read, the line says so and one note says what that means", () => {
  const lines = marginLines(pool, [known(1, 5, 10, 20, false), known(2, 5, 10, 20)]);
  expect(lines[1]).toContain("(5.0 to 20) *;");
  expect(lines[2]).not.toContain("*");
  expect(lines[3]).toBe("  * No pressed reading: the switch itself counts as 0 Ω.");
});

test("what is missing is asked for once, of whoever knows it", () => {
  const ask = (...missing: MissingFigure[]) =>
    marginLines(pool, [circuit(1, { kind: "ask", missing }), circuit(2, { kind: "ask", missing })]);
  expect(ask("supply.source_ohms", "timer_input.low_max")).toEqual([
    "For touch and rest margins, ask the timer's maker for the resistance between its supply and " +
      "its input; the highest input voltage at which a touch still registers " +
      "(supply.source_ohms, timer_input.low_max).",
  ]);
  expect(marginLines(pool, [])).toEqual([]);
});
