import { expect, test } from "vitest";
import { nodeVolts, type Step } from "./network.ts";

const step = (series: number, ...across: number[]): Step => ({ series, across });

// By hand: 5 V * 1000 / (1000 + 220 + 30) = 4 V.
test("a meter of 1 kohm behind 220 + 30 ohm shows 4 V of 5 V", () => {
  expect(nodeVolts(5, 220, [step(10), step(20)], 1000, 1)).toBeCloseTo(4, 9);
});

// By hand: what lies behind the meter carries no current: 5 * 1000 / (1000 + 220 + 10).
test("an open path behind the meter takes nothing", () => {
  const volts = nodeVolts(5, 220, [step(10), step(Number.POSITIVE_INFINITY, 7)], 1000, 0);
  expect(volts).toBeCloseTo(5000 / 1230, 9);
});

test("behind an open contact nothing arrives", () => {
  expect(nodeVolts(5, 0, [step(Number.POSITIVE_INFINITY), step(1)], 1000, 1)).toBeLessThan(1e-6);
});

// By hand: 100 ohm across, in parallel with 100 + 100 ohm, is 66.7 ohm; 5 * 66.7 / 166.7 = 2 V at the
// first node, half of it at the second.
test("a leak divides before and behind itself", () => {
  const steps = [step(100, 100), step(100)];
  expect(nodeVolts(5, 0, steps, 100, 1)).toBeCloseTo(1, 9);
  // Meter at the leak: 100 || 100 = 50 ohm; 5 * 50 / 150.
  expect(nodeVolts(5, 0, steps, 100, 0)).toBeCloseTo(5 / 3, 9);
});

// By hand, two leaks: at the end 100 || 100 = 50 with 50 in front of it is 100 ohm; that beside 100
// is 50; 5 * 50 / 100 = 2.5 V, then half.
test("two leaks of one circuit act together", () => {
  expect(nodeVolts(5, 50, [step(0, 100), step(50, 100)], 100, 1)).toBeCloseTo(1.25, 9);
});

test("a sound path with nothing across reads less behind every contact", () => {
  const steps = [step(1), step(2), step(3)];
  const shown = [0, 1, 2].map((at) => nodeVolts(5, 0, steps, 1000, at));
  expect(shown.map((v) => Number(v.toFixed(6)))).toEqual([4.995005, 4.985045, 4.970179]);
});
