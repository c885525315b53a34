import { describe, expect, test } from "vitest";
import { detectionLimit } from "../../src/circuit/detection-limit.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { calibrate } from "../../src/meter/calibrate.ts";
import { calibratedSight } from "../../src/meter/meter-sight.ts";
import { deckMeter, demoPool } from "../circuit/demo-pool.ts";
import { seededNormal } from "../seeded-normal.ts";

const step = volts(0.01);
const calibration = (load: number, noise: number) => {
  const normal = seededNormal(7);
  const series = [0, 10, 47, 100, 220, 470, 1000, 0, 10, 47, 100, 220, 470, 1000];
  const found = calibrate(
    series.map((r) => {
      const shown = Math.round(((5 * load) / (load + r) + noise * normal()) / step) * step;
      return { ohms: ohms(r), volts: volts(shown) };
    }),
    ohms(0),
    step,
  );
  if (!found.ok) throw new Error(found.error.kind);
  return found.value;
};

describe("a meter of 1 kΩ that scatters by 5 mV", () => {
  const sight = calibratedSight(demoPool, calibration(1000, 0.005), step);

  test("shows some 6 Ω, and the bounds lie on both sides of that", () => {
    // By hand at the true values: 2 * 1.645 * sqrt(2) * sqrt(5^2 + 10^2/12) mV = 26.9 mV, at
    // (1000 + 3.6)^2 / 5000 = 0.2014 Ω/mV: 5.4 Ω beside the 0.2 Ω of a sound contact.
    expect(sight.likely.contact).toBeGreaterThan(5.6 * 0.7);
    expect(sight.likely.contact).toBeLessThan(5.6 * 1.4);
    expect(sight.best.contact).toBeLessThan(sight.likely.contact!);
    expect(sight.worst.contact).toBeGreaterThan(sight.likely.contact!);
    expect(sight.likely.blind).toBe(false);
  });

  test("the bounds take load and noise at the same ends of their intervals", () => {
    const { loadOhms, noise } = calibration(1000, 0.005);
    const at = (end: "low" | "high") =>
      detectionLimit(
        demoPool,
        { ...deckMeter, loadOhms: ohms(loadOhms[end]), noise: volts(noise[end]) },
        step,
      ).contact;
    expect(sight.best.contact).toBeCloseTo(at("low")!, 9);
    expect(sight.worst.contact).toBeCloseTo(at("high")!, 9);
  });

  test("a confidence of 99 % asks for a larger contact", () => {
    const risks = { falseAlarm: 0.05, miss: 0.01 };
    const surer = calibratedSight(demoPool, calibration(1000, 0.005), step, risks);
    expect(surer.likely.contact).toBeGreaterThan(sight.likely.contact!);
    expect(surer.risks).toEqual(risks);
  });
});

test("a meter of 10 MΩ is blind, even at best, and at worst shows open contacts only", () => {
  const sight = calibratedSight(demoPool, calibration(10e6, 0.001), step);
  expect(sight.likely.blind).toBe(true);
  expect(sight.best.blind).toBe(true);
  expect(sight.worst.contact).toBeNull();
});
