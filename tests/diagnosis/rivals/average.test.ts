import { expect, test } from "vitest";
import { averaged } from "../../../src/diagnosis/rivals/average.ts";
import type { WalkInference } from "../../../src/inference/infer.ts";

/** The law of total probability, by hand: 3/4 of one way and 1/4 of the other. */
const wayOf = (p: number, underLimit: number | null) =>
  ({
    circuits: [
      {
        states: [Float64Array.of(p, 1 - p)],
        pinned: {
          sound: p,
          first: [Float64Array.of(p, 0, 0)],
          steady: [new Float64Array(5)],
          shaky: [new Float64Array(5)],
        },
        ohms: [{ median: p, low: p, high: p }],
        voltsLost: [4 * p],
        conducting: [p / 2],
        underLimit,
      },
    ],
    bodyAtFault: new Map([[7, p]]),
    readings: new Map([
      [3, { misread: p, off: p / 2, badMoment: p / 4, expected: { below: 1 - p, same: p / 8 } }],
    ]),
    logEvidence: p,
  }) as unknown as WalkInference;

test("probabilities are means, quantiles are those of the likeliest way", () => {
  const ways = [
    { found: wayOf(0.8, 0.2), probability: 0.25 },
    { found: wayOf(0.4, 0.6), probability: 0.75 },
  ];
  const { circuits, bodyAtFault, readings, logEvidence } = averaged(ways);
  // 0.25 x 0.8 + 0.75 x 0.4 = 0.5.
  const [own] = circuits;
  expect(own!.states[0]![0]).toBeCloseTo(0.5, 12);
  expect(own!.states[0]![1]).toBeCloseTo(0.5, 12);
  expect(own!.pinned.sound).toBeCloseTo(0.5, 12);
  expect(own!.pinned.first[0]![0]).toBeCloseTo(0.5, 12);
  expect(own!.voltsLost[0]).toBeCloseTo(2, 12);
  expect(own!.conducting[0]).toBeCloseTo(0.25, 12);
  expect(own!.underLimit).toBeCloseTo(0.25 * 0.2 + 0.75 * 0.6, 12);
  expect(own!.ohms).toEqual([{ median: 0.4, low: 0.4, high: 0.4 }]);
  expect(logEvidence).toBe(0.4);
  expect([...bodyAtFault.keys()]).toEqual([7]);
  expect(bodyAtFault.get(7)).toBeCloseTo(0.5, 12);
  const found = readings.get(3)!;
  expect(found.misread).toBeCloseTo(0.5, 12);
  expect(found.off).toBeCloseTo(0.25, 12);
  expect(found.badMoment).toBeCloseTo(0.125, 12);
  expect(found.expected.below).toBeCloseTo(0.5, 12);
  expect(found.expected.same).toBeCloseTo(0.0625, 12);
});

test("a limit that judges nothing stays null", () => {
  const ways = [{ found: wayOf(0.8, null), probability: 1 }];
  expect(averaged(ways).circuits[0]!.underLimit).toBeNull();
});

test("the likeliest way is so wherever it stands", () => {
  const ways = [
    { found: wayOf(0.4, 0.6), probability: 0.75 },
    { found: wayOf(0.8, 0.2), probability: 0.25 },
  ];
  expect(averaged(ways).logEvidence).toBe(0.4);
});
