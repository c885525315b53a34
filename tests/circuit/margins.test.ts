import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { pathLadder, timerInputVolts } from "../../src/circuit/ladder.ts";
import { crossingOhms, margins, ttlInput } from "../../src/circuit/margins.ts";
import type { Estimate } from "../../src/domain/findings.ts";
import { type Ohms, ohms, volts } from "../../src/domain/units.ts";

const sure = (value: number): Estimate => ({ median: value, low: value, high: value });
const between = (low: number, median: number, high: number): Estimate => ({ low, median, high });
const ttlPool = (sourceOhms: number) => ({
  sourceOhms: ohms(sourceOhms),
  timerInput: ttlInput,
});
const known = (...args: Parameters<typeof margins>) => {
  const found = margins(...args);
  if (found.kind !== "known") throw new Error(`asked for ${found.missing}`);
  return found;
};

test("the TTL thresholds are the published ones", () => {
  // Kuphaldt, Lessons In Electric Circuits, vol. IV, ch. 3 (check values G3-01, verified).
  expect(ttlInput).toEqual({ lowMax: 0.8, highMin: 2 });
});

test.each([
  [0.8, 1904.762],
  [1.5, 4285.714],
])("an input pulled up by 10 kΩ stays under %d V up to %d Ω", (threshold, expected) => {
  // Check values G3-03: TTL and CMOS low levels (computed).
  const found = crossingOhms(volts(5), ohms(10_000), volts(threshold));
  expect(Math.abs(found - expected)).toBeLessThan(0.001);
});

describe("a sound path of 4 Ω and a switch of 3 Ω on a 5 V TTL input pulled up by 1 kΩ", () => {
  const state = { emf: sure(5), seriesOhms: sure(4), switchOhms: sure(3) };

  test("may gain 183.476 Ω before a touch is missed", () => {
    // 1000 * 0.8 / 4.2 - 7 (plain arithmetic).
    expect(known(ttlPool(1000), state).touch.median).toBeCloseTo(190.47619 - 7, 5);
  });

  test("rests high until a leak falls to 662.667 Ω", () => {
    // 1000 * 2 / 3 - 4 (plain arithmetic).
    expect(known(ttlPool(1000), state).rest.median).toBeCloseTo(666.666667 - 4, 5);
  });

  test("with a switch that nobody pressed the touch margin is an upper bound, and says so", () => {
    const found = known(ttlPool(1000), { ...state, switchOhms: null });
    expect(found.switchKnown).toBe(false);
    expect(found.touch.median).toBeCloseTo(190.47619 - 4, 5);
  });

  test("intervals come out at the ends that belong to them", () => {
    const found = known(ttlPool(1000), {
      emf: between(4.9, 5, 5.1),
      seriesOhms: between(3, 4, 9),
      switchOhms: between(2, 3, 5),
    });
    expect(found.touch.low).toBeCloseTo(800 / 4.3 - 9 - 5, 10);
    expect(found.touch.high).toBeCloseTo(800 / 4.1 - 3 - 2, 10);
    expect(found.rest.low).toBeCloseTo(2000 / 3.1 - 9, 10);
    expect(found.rest.high).toBeCloseTo(2000 / 2.9 - 3, 10);
  });
});

test("at the margin the ladder's own input stands exactly at the threshold", () => {
  const quantity = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
  fc.assert(
    fc.property(
      quantity(200, 20_000),
      quantity(0, 30),
      quantity(0, 5),
      quantity(4, 6),
      (source, series, device, emf) => {
        const found = known(ttlPool(source), {
          emf: sure(emf),
          seriesOhms: sure(series),
          switchOhms: sure(device),
        });
        const input = (s: number, rd: Ohms) =>
          timerInputVolts(pathLadder(volts(emf), ohms(source), [ohms(s)], rd));
        expect(input(series + found.touch.median, ohms(device))).toBeCloseTo(0.8, 10);
        expect(input(series, ohms(found.rest.median))).toBeCloseTo(2, 10);
      },
    ),
  );
});

test("a path that misses touches has a negative margin, an open one no end of it", () => {
  const fouled = { emf: sure(5), seriesOhms: sure(400), switchOhms: sure(3) };
  expect(known(ttlPool(1000), fouled).touch.median).toBeCloseTo(190.47619 - 403, 5);
  const open = { ...fouled, seriesOhms: sure(Number.POSITIVE_INFINITY) };
  expect(known(ttlPool(1000), open).touch.median).toBe(Number.NEGATIVE_INFINITY);
  expect(known(ttlPool(1000), open).rest.median).toBe(0);
});

test("a path of more ohms than the threshold needs stands high whatever leaks behind it", () => {
  const long = { emf: sure(5), seriesOhms: sure(1000), switchOhms: null };
  expect(known(ttlPool(1000), long).rest.median).toBe(0);
});

test("a supply that does not reach a threshold never stands over it", () => {
  const weak = { emf: sure(1.5), seriesOhms: sure(4), switchOhms: null };
  expect(known(ttlPool(1000), weak).rest.median).toBe(Number.POSITIVE_INFINITY);
  const dead = { ...weak, emf: sure(0.8) };
  expect(known(ttlPool(1000), dead).touch.median).toBe(Number.POSITIVE_INFINITY);
});

test("what is not known about the timer is asked for, by its key in the pool file", () => {
  const state = { emf: sure(5), seriesOhms: sure(4), switchOhms: null };
  expect(margins({ sourceOhms: null, timerInput: null }, state)).toEqual({
    kind: "ask",
    missing: ["supply.source_ohms", "timer_input.low_max", "timer_input.high_min"],
  });
  const halfKnown = margins({ sourceOhms: null, timerInput: ttlInput }, state);
  expect(halfKnown).toEqual({ kind: "ask", missing: ["supply.source_ohms"] });
  const noInput = margins({ sourceOhms: ohms(1000), timerInput: null }, state);
  expect(noInput).toEqual({
    kind: "ask",
    missing: ["timer_input.low_max", "timer_input.high_min"],
  });
  expect(margins({ sourceOhms: ohms(0), timerInput: ttlInput }, state)).toEqual(halfKnown);
});

test("an open path on a supply that reaches no threshold misses every touch, and still rests high", () => {
  const nothing = {
    emf: sure(0.5),
    seriesOhms: sure(Number.POSITIVE_INFINITY),
    switchOhms: sure(3),
  };
  const { touch, rest } = known(ttlPool(1000), nothing);
  expect(touch.median).toBe(Number.NEGATIVE_INFINITY);
  expect(rest.median).toBe(0);
});
