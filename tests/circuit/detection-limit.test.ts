import { describe, expect, test } from "vitest";
import { detectionLimit, dropSpread } from "../../src/circuit/detection-limit.ts";
import type { Meter } from "../../src/domain/pool.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { seededNormal } from "../seeded-normal.ts";
import { deckMeter, demoPool } from "./demo-pool.ts";

const limitOf = (meter: Partial<Meter>) =>
  detectionLimit(demoPool, { ...deckMeter, ...meter }, volts(0.01));

test.each([0.01, 0.001, 0.1])("a display step of %d V is worth 0.288675 steps", (step) => {
  // JCGM 100:2008 F.2.2.1, u = d / sqrt(12) (computed); two readings differ by sqrt(2) of it.
  expect(dropSpread(volts(0), volts(step)) / Math.SQRT2 / step).toBeCloseTo(0.288675, 6);
});

describe("the deck meter of 1 kΩ, 10 mV steps, 20 mV noise", () => {
  test("its limit is worked out by hand", () => {
    // In front: 3 Ω copper + 3 * 0.2 Ω, behind a sound contact 0.2 Ω more (plain arithmetic).
    const before = 5000 / 1003.6;
    const u = Math.sqrt(0.02 ** 2 + 0.01 ** 2 / 12) * Math.SQRT2;
    const drop = before - 5000 / 1003.8 + 2 * 1.6448536269514722 * u;
    const contact = 5000 / (before - drop) - 1003.6;
    expect(limitOf({}).limitVolts).toBeCloseTo(drop, 12);
    expect(limitOf({}).contact).toBeCloseTo(contact, 8);
    expect(limitOf({}).blind).toBe(false);
  });

  test("repeated in a simulation, it errs one time in twenty on each side", () => {
    // Independent of the normal approximation: true rounding, seeded noise, 200 000 pairs.
    const { contact, thresholdVolts } = limitOf({});
    const noise = seededNormal(20_261);
    const shown = (series: number) =>
      Math.round((5000 / (1000 + series) + 0.02 * noise()) / 0.01) * 0.01;
    const called = (contactOhms: number) => {
      let calls = 0;
      for (let pair = 0; pair < 200_000; pair += 1) {
        if (shown(3.6) - shown(3.6 + contactOhms) > thresholdVolts) calls += 1;
      }
      return calls / 200_000;
    };
    // A drop is a whole number of steps, so a call's chance moves in jumps of up to 1.4 %.
    expect(Math.abs(called(0.2) - 0.05)).toBeLessThan(0.015);
    expect(Math.abs(called(contact!) - 0.95)).toBeLessThan(0.015);
  });

  test("fewer digits, more noise or a lighter load make it worse", () => {
    const base = limitOf({}).contact!;
    expect(limitOf({ resolution: volts(0.1) }).contact).toBeGreaterThan(base);
    expect(limitOf({ noise: volts(0.05) }).contact).toBeGreaterThan(base);
    expect(limitOf({ loadOhms: ohms(10_000) }).contact).toBeGreaterThan(9 * base);
  });
});

test("a meter of 10 MΩ is blind: a contact of 100 Ω moves it by 50 µV", () => {
  const light = limitOf({ loadOhms: ohms(10e6) });
  expect(light.contact).toBeGreaterThan(60);
  expect(light.blind).toBe(true);
});

test("a display of volts and no decimals shows next to nothing: not even an open contact", () => {
  const coarse = limitOf({ noise: volts(2) });
  expect(coarse.contact).toBeNull();
  expect(coarse.blind).toBe(true);
});

test("a meter that draws nothing sees an open contact alone", () => {
  const ideal = limitOf({ loadOhms: ohms(Number.POSITIVE_INFINITY) });
  expect(ideal).toMatchObject({ contact: null, unit: "ohm", blind: true });
});

test("with no known load the limit is a multiple of the load, and blindness is not known", () => {
  const unknown = limitOf({ loadOhms: null });
  const u = Math.sqrt(0.02 ** 2 + 0.01 ** 2 / 12) * Math.SQRT2;
  expect(unknown.unit).toBe("meter load");
  expect(unknown.contact).toBeCloseTo(5 / (5 - 2 * 1.6448536269514722 * u) - 1, 10);
  expect(unknown.blind).toBeNull();
});

test("the display step comes from the data where the meter's entry has none", () => {
  const entry = { ...deckMeter, resolution: null };
  const fine = detectionLimit(demoPool, entry, volts(0.001));
  expect(fine.contact).toBeLessThan(detectionLimit(demoPool, entry, volts(0.1)).contact!);
});
