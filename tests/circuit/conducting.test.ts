import { expect, test } from "vitest";
import { loopVolts, sourceBehind, voltsBehind } from "../../src/circuit/conducting.ts";
import { ohms, volts } from "../../src/domain/units.ts";

/** Resistors side by side [ohm]. */
const beside = (a: number, b: number): number => (a * b) / (a + b);

// Kirchhoff's laws by hand, nothing of the program in it: 5 V, 20 Ω up to the meter's point, 30 Ω more up
// to where it conducts, 50 Ω there, a meter of 1 kΩ.
const [E, meter, before, more, leak] = [5, 1000, 20, 30, 50];

test("in front of the leak the meter stands beside the rest of the loop", () => {
  const load = beside(meter, more + leak);
  const loop = ohms(before + more + leak);
  expect(loopVolts(volts(E), ohms(meter), ohms(before), loop)).toBeCloseTo(
    (E * load) / (before + load),
    12,
  );
});

test("at the end of the loop, or past it, nothing is left to read", () => {
  expect(loopVolts(volts(E), ohms(meter), ohms(100), ohms(100))).toBe(0);
  expect(loopVolts(volts(E), ohms(meter), ohms(120), ohms(100))).toBe(0);
});

test("behind the leak stands what two resistors leave of the supply (Thevenin)", () => {
  const source = sourceBehind(volts(E), ohms(before), ohms(before + leak));
  expect(source.emf).toBeCloseTo((E * leak) / (before + leak), 12);
  expect(source.ohms).toBeCloseTo(beside(before, leak), 12);
  // All of the loop lies in front of it: a dead short.
  expect(sourceBehind(volts(E), ohms(100), ohms(90))).toEqual({ emf: 0, ohms: 0 });
});

test("a meter behind the leak sees the same as by the two loops' currents", () => {
  // Node equation at the leak: (E - u)/before = u/leak + u/(more + meter); the meter has its share of u.
  const u = E / before / (1 / before + 1 / leak + 1 / (more + meter));
  const shown = voltsBehind(volts(E), ohms(meter), ohms(before), ohms(before + leak), ohms(more));
  expect(shown).toBeCloseTo((u * meter) / (more + meter), 12);
});
