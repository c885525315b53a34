import { describe, expect, test } from "vitest";
import { ohms, volts } from "../../src/domain/units.ts";
import { calibrate, type ResistorReading } from "../../src/meter/calibrate.ts";
import { seededNormal } from "../seeded-normal.ts";

const none = ohms(0);
const resistors = [0, 10, 47, 100, 220, 470, 1000];
const shown = (series: number[], noise: () => number, load = 1000, emf = 5): ResistorReading[] =>
  series.map((r) => ({ ohms: ohms(r), volts: volts((emf * load) / (load + r) + noise()) }));
const calibrated = (readings: ResistorReading[], sourceOhms = none, step = volts(0)) => {
  const found = calibrate(readings, sourceOhms, step);
  if (!found.ok) throw new Error(found.error.kind);
  return found.value;
};

test("readings without noise give the meter back", () => {
  // Ohm's law: 5 V over a load of 1 kΩ behind each resistor (plain arithmetic).
  const found = calibrated(
    shown(resistors, () => 0),
    none,
  );
  expect(found.loadOhms.median).toBeCloseTo(1000, 6);
  expect(found.emf.median).toBeCloseTo(5, 9);
  expect(found.noise.median).toBeLessThan(1e-12);
});

test("the source's own resistance is no part of the load", () => {
  const behind50 = shown(
    resistors.map((r) => r + 50),
    () => 0,
  );
  const readings = behind50.map((reading, i) => ({ ...reading, ohms: ohms(resistors[i]!) }));
  expect(calibrated(readings, ohms(50)).loadOhms.median).toBeCloseTo(1000, 6);
  expect(calibrated(readings, ohms(50)).emf.median).toBeCloseTo(5, 9);
  // Taken for 0, it hides in both: load 1050, EMF 5 * 1000 / 1050 * 1.05 = 5 V at R = 0 (by hand).
  expect(calibrated(readings, none).loadOhms.median).toBeCloseTo(1050, 6);
  expect(calibrated(readings, none).emf.median).toBeCloseTo(5 * (1000 / 1050), 9);
});

test("a source resistance is a longer resistor: the same supply, with the same interval", () => {
  const normal = seededNormal(3);
  const noisy = shown(resistors, () => 0.02 * normal());
  const longer = noisy.map((reading) => ({ ...reading, ohms: ohms(reading.ohms + 50) }));
  const [inside, outside] = [calibrated(noisy, ohms(50)), calibrated(longer, none)];
  for (const bound of ["low", "median", "high"] as const) {
    expect(inside.emf[bound]).toBeCloseTo(outside.emf[bound], 9);
    expect(inside.loadOhms[bound]).toBeCloseTo(outside.loadOhms[bound], 6);
  }
});

test("nine intervals in ten hold the truth, for load, supply and noise", () => {
  // Simulation, seeded; 20 readings of 20 mV noise in each of 2000 calibrations. The share that
  // holds is binomial: 0.9 with a standard deviation of 0.0067.
  const normal = seededNormal(4711);
  const series = [...resistors, ...resistors, ...resistors.slice(0, 6)];
  let [load, emf, noise] = [0, 0, 0];
  const holds = ({ low, high }: { low: number; high: number }, truth: number) =>
    Number(low <= truth && truth <= high);
  for (let run = 0; run < 2000; run += 1) {
    const found = calibrated(
      shown(series, () => 0.02 * normal()),
      none,
    );
    load += holds(found.loadOhms, 1000);
    emf += holds(found.emf, 5);
    noise += holds(found.noise, 0.02);
  }
  for (const held of [load, emf, noise]) expect(Math.abs(held / 2000 - 0.9)).toBeLessThan(0.025);
});

test("a reading that does not belong is pointed out, and chance seldom is", () => {
  const normal = seededNormal(12);
  const series = [...resistors, ...resistors];
  const clean = () => shown(series, () => 0.01 * normal());
  const mistyped = clean().map((reading, i) =>
    i === 3 ? { ...reading, volts: volts(reading.volts - 0.2) } : reading,
  );
  const { residuals, strays } = calibrated(mistyped);
  expect(residuals.indexOf(Math.min(...residuals))).toBe(3);
  expect(strays).toEqual([3]);
  // By construction one clean calibration in twenty at most has a stray: 1000 of them, seeded.
  let alarms = 0;
  for (let run = 0; run < 1000; run += 1) alarms += Number(calibrated(clean()).strays.length > 0);
  expect(alarms).toBeGreaterThan(10);
  expect(alarms).toBeLessThan(75);
});

describe("a meter that draws next to nothing", () => {
  test("has a lower bound of its load and no upper one", () => {
    const normal = seededNormal(99);
    const light = shown([...resistors, ...resistors], () => 0.001 * normal(), 10e6);
    const { loadOhms } = calibrated(light, none);
    expect(loadOhms.high).toBe(Number.POSITIVE_INFINITY);
    expect(loadOhms.low).toBeGreaterThan(100_000);
    expect(loadOhms.low).toBeLessThan(10e6);
  });

  test("nor do readings that all agree: the display's step keeps the bound in reach", () => {
    const flat = resistors.map((r) => ({ ohms: ohms(r), volts: volts(5) }));
    const { loadOhms, noise } = calibrated(flat, none, volts(0.01));
    expect(loadOhms.median).toBe(Number.POSITIVE_INFINITY);
    expect(loadOhms.high).toBe(Number.POSITIVE_INFINITY);
    // Half a step down over 1 kΩ, 5 V * 1000 / (1000 + RL) = 5 mV, would be 1 MΩ: of that order.
    expect(loadOhms.low).toBeGreaterThan(1e5);
    expect(loadOhms.low).toBeLessThan(1e7);
    expect(noise.median).toBe(0);
  });
});

describe("readings that calibrate nothing", () => {
  test("too few, one resistor only, a zero, or readings that rise with the resistor", () => {
    expect(
      calibrate(
        shown([0, 100], () => 0),
        none,
        volts(0),
      ),
    ).toMatchObject({
      error: { kind: "too-few-readings", found: 2 },
    });
    expect(
      calibrate(
        shown([47, 47, 47], () => 0),
        none,
        volts(0),
      ),
    ).toMatchObject({
      error: { kind: "one-resistor-only", ohms: 47 },
    });
    const dead = [...shown(resistors, () => 0), { ohms: ohms(9), volts: volts(0) }];
    expect(calibrate(dead, none, volts(0))).toMatchObject({
      error: { kind: "dead-reading", index: 7 },
    });
    const rising = resistors.map((r) => ({ ohms: ohms(r), volts: volts(4 + r / 2000) }));
    expect(calibrate(rising, none, volts(0))).toMatchObject({ error: { kind: "rising" } });
  });
});
