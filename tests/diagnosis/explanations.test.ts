import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { meterBlind, wrongLoad } from "../../src/diagnosis/explanations.ts";
import { meter, type Shown, sheet, smallPool } from "../reference/builders.ts";
import { partOf } from "./part.ts";

const points = ["timer", "harness", "plate", "pod"];
const everywhere = (shown: number): Shown[] =>
  ["a", "b"].flatMap((device) => points.map((point): Shown => [1, device, point, shown]));
const pool = smallPool([1], ["a", "b"]);

describe("a low supply", () => {
  // E ~ Normal(5.00, 0.05): low is under 4.90 V (model, section 4; two standard deviations).
  test("is named where every reading is low alike", () => {
    const walk = diagnose(pool, sheet(everywhere(4.84)));
    const low = walk.explanations.find(({ kind }) => kind === "supply-low");
    expect(low!.probability).toBeGreaterThan(0.95);
    expect(low!.words).toContain("4.8");
  }, 60_000);

  test("is not named at nominal volts", () => {
    const walk = diagnose(pool, sheet(everywhere(4.98)));
    expect(walk.explanations.filter(({ kind }) => kind === "supply-low")).toEqual([]);
  }, 60_000);
});

test("a blind meter is named, and one that sees is not", () => {
  const sight = { meter: "m", detectionLimit: null };
  expect(meterBlind([{ ...sight, blind: false }])).toEqual([]);
  expect(meterBlind([{ ...sight, blind: true }])[0]!.words).toContain("meter m is blind");
  // 60 ohm in front of 10 megohm moves 5 V by 30 microvolts: nothing on a display of 10 mV.
  const blind = smallPool([1], ["a", "b"], { meters: [meter("deck", 1e7, 0.01)] });
  const walk = diagnose(blind, sheet(everywhere(4.98)));
  expect(walk.explanations.some(({ kind }) => kind === "meter-blind")).toBe(true);
}, 60_000);

describe("another load than the pool file's", () => {
  const contact = {
    lane: 1,
    device: "a",
    end: null,
    point: "pod",
    fouled: 0.9,
    open: 0,
    ohms: { low: 50, median: 60, high: 70 },
    voltsLost: 0.3,
  };

  // By hand: four equally likely factors, one of which has e^10 times the evidence: e^10 / 4;
  // odds with the prior 0.02: e^10 / 4 * 0.02 / 0.98 = 112.4, so 0.9912.
  test("is weighed against the evidence as filed", () => {
    const logEvidenceAt = (factor: number): number => (factor === 0.5 ? -90 : -1e6);
    const faulty = [1, 2, 3].map((lane) => ({ ...contact, lane, sound: 0.1 }));
    const [found] = wrongLoad(partOf(pool), faulty, -100, logEvidenceAt);
    expect(found!.logBayesFactor).toBeCloseTo(10 - Math.log(4), 9);
    expect(found!.probability).toBeCloseTo(0.9912, 3);
    expect(found!.words).toContain("500 ohm");
  });

  test("is not asked where most circuits are sound", () => {
    const sound = [1, 2, 3].map((lane) => ({ ...contact, lane, sound: 0.9 }));
    expect(wrongLoad(partOf(pool), sound, -100, () => 0)).toEqual([]);
  });

  test("is not asked where one circuit alone speaks: a fault explains it", () => {
    expect(wrongLoad(partOf(pool), [{ ...contact, sound: 0.1 }], -100, () => 0)).toEqual([]);
  });
});

test("a walk without readings has no explanation", () => {
  expect(diagnose(pool, []).explanations).toEqual([]);
  const pressed = sheet(everywhere(0.1)).map((one) => ({ ...one, state: "pressed" as const }));
  expect(diagnose(pool, pressed).explanations.map(({ kind }) => kind)).not.toContain("leaking");
});
