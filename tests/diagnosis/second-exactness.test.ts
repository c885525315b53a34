import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Estimate, WalkDiagnosis } from "../../src/domain/findings.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { gapsBetween, largestGaps } from "../reference/second/answer-gaps.ts";
import { storedSecond } from "../reference/second/stored-second.ts";
import type { SecondAnswer } from "../reference/second/tally-answer.ts";

/**
 * The diagnosis against brute force over the whole second model (tests/reference/second, which shares
 * no code with src). Mark of every number here: computed, by `npm run reference:second`. Numbers that
 * the reference itself does not know well enough are left out: each case lists them.
 */

const written = ({ median, low, high }: Estimate) => {
  const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
  return { median: finite(median), low: finite(low), high: finite(high) };
};

/** The findings in the shape of the reference's answer; what findings do not say stays as it is. */
function asAnswer(found: WalkDiagnosis, like: SecondAnswer): unknown {
  const named = <Of extends { readonly name: string }>(list: readonly Of[], name: string): Of =>
    list.find((one) => one.name === name)!;
  return {
    ...like,
    logEvidence: found.logEvidence,
    drift: written(found.drift),
    supplies: like.supplies.map((one) => {
      const { emf, sourceOhms } = named(found.supplies, one.name);
      return { ...one, emf: written(emf), sourceOhms: written(sourceOhms) };
    }),
    meters: like.meters.map((one) => {
      const { ohms, noise } = named(found.loads, one.name);
      return { ...one, loadOhms: written(ohms), noise: written(noise) };
    }),
    circuits: like.circuits.map((one) => {
      const own = found.circuits.find((c) => c.lane === one.lane && c.device === one.device)!;
      const conducting = one.conducting.map((path) => ({
        ...path,
        probability: own.conducting.find(
          ({ kind, point }) => kind === path.kind && (path.point ?? point) === point,
        )?.probability,
      }));
      return { ...one, underLimit: own.underLimit, conducting };
    }),
    connectors: like.connectors.map((one) => {
      const lanes = one.members.map(([lane]) => lane);
      const own = found.connectors.find(
        ({ point, device, lanes: served }) =>
          point === one.point && device === one.device && lanes.every((x) => served.includes(x)),
      );
      return { ...one, atFault: own?.atFault };
    }),
    contacts: like.contacts.map((one) => {
      const own = found.contacts.find(
        (c) => c.lane === one.lane && c.device === one.device && c.point === one.point,
      )!;
      const { sound, fouled, open, cable, intermittent } = own;
      const states = { sound, fouled, open, intermittent };
      const divided = { openInConnector: open - cable, openInCable: cable };
      return { ...one, ...states, ...divided, ohms: written(own.ohms) };
    }),
  };
}

const cases = storedSecond();

test("at least ten walks are compared", () => {
  expect(cases.length).toBeGreaterThanOrEqual(10);
});

describe.each(cases)("$name", ({ pool: poolText, readings: sheetText, answer, unsure }) => {
  const pool = readPool(poolText, "pool.yaml");
  if (!pool.ok) throw new Error(pool.error.map(({ message }) => message).join("; "));
  const { readings } = readReadings(sheetText, pool.value, "readings.csv");
  const mine = asAnswer(diagnose(pool.value, readings, false), answer) as SecondAnswer;
  const gap = largestGaps(gapsBetween(mine, answer), ({ where }) => !unsure.includes(where));

  test("every probability is within 0.005, the log evidence within 0.01", () => {
    expect(gap.probability).toBeLessThan(0.005);
    expect(gap.logEvidence).toBeLessThan(0.01);
  });
  test("every median is within 2 %, every bound within 5 %, volts within 2 mV", () => {
    expect(gap.median).toBeLessThan(0.02);
    expect(gap.bound).toBeLessThan(0.05);
    expect(gap.volts).toBeLessThan(0.002);
  });
});
