import { describe, expect, test } from "vitest";
import { findings } from "../../src/diagnosis/diagnose.ts";
import { poseWalk } from "../../src/diagnosis/walk-problem.ts";
import type { Estimate, WalkDiagnosis } from "../../src/domain/findings.ts";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
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
      const own = found.loads.find(({ name }) => name === one.name);
      // A meter that read nothing is not spoken of.
      if (own === undefined) return one;
      return { ...one, loadOhms: written(own.ohms), noise: written(own.noise) };
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

type Gap = ReturnType<typeof largestGaps>;

/** What is asked of every walk: absolute, but medians and bounds relative, volts in volts. */
const asked: Gap = {
  probability: 0.005,
  logEvidence: 0.01,
  median: 0.02,
  bound: 0.05,
  volts: 0.006,
};

/**
 * Walks on which the approximations that `src/MODEL.md` lists show more than that, and by how much
 * (as measured here, rounded up by a sixth): a second supply with few circuits, loads that nothing but the prior tells apart, far quantiles of a rare way.
 */
const known: Readonly<Record<string, Partial<Gap>>> = {
  "a run of zeros to the end of the sheet, two circuits": { bound: 0.14 },
  "unknown load, a sound path": { bound: 0.16 },
  "unknown load, one low pod": { median: 0.064, bound: 0.27 },
  "two meters at the same points, both loads unknown": {
    logEvidence: 0.046,
    median: 0.063,
    bound: 0.43,
  },
  "a switch stuck closed behind an unknown source": { probability: 0.0082, bound: 0.11 },
  "pressed and leaking at once": {
    probability: 0.053,
    logEvidence: 0.24,
    median: 0.026,
    bound: 0.22,
    volts: 0.028,
  },
  "two supplies, one of them low": { median: 0.044, bound: 0.11, volts: 0.009 },
  "unknown source and a leak": {
    probability: 0.022,
    logEvidence: 0.017,
    median: 0.096,
    bound: 0.41,
  },
  "source and load unknown, a low supply": { logEvidence: 0.052, median: 0.053, bound: 0.26 },
  "source and load unknown, one low pod": { probability: 0.0071, median: 0.26, bound: 0.21 },
  "unknown load and a drifting supply": { bound: 0.35 },
  "all terms, 4.98, 2.10, 4.97 at one pod": { logEvidence: 0.037 },
  "all terms, a zero with times, moved and pressed readings": { probability: 0.0074 },
  "all terms, two sound circuits": { logEvidence: 0.017 },
  "all terms, two circuits behind a contaminated plate": { probability: 0.01, bound: 0.14 },
  "all terms, two points in front of a leak or of a switch stuck behind film": {
    probability: 0.017,
    bound: 0.17,
    volts: 0.0096,
  },
  "all terms, three circuits, one odd zero": { probability: 0.0096, logEvidence: 0.02 },
};

const cases = storedSecond();

test("at least ten walks are compared", () => {
  expect(cases.length).toBeGreaterThanOrEqual(10);
});

describe.each(cases)("$name", ({ name, pool: poolText, readings: sheetText, answer, unsure }) => {
  const pool = readPool(poolText, "pool.yaml");
  if (!pool.ok) throw new Error(pool.error.map(({ message }) => message).join("; "));
  const { readings } = readReadings(sheetText, pool.value, "readings.csv");
  /** How far off the findings are, inferred anew. */
  const gapNow = (): Gap => {
    const posed = poseWalk(pool.value, readings);
    const found = infer(posed.problem, emptyShelf(1000));
    const weighed = { found, told: found, fit: null, rivals: [] };
    const walk = readings[0]!.walk;
    const mine = asAnswer(findings(pool.value, posed, weighed, walk, false), answer);
    return largestGaps(
      gapsBetween(mine as SecondAnswer, answer),
      ({ where }) => !unsure.includes(where),
    );
  };

  test("every answer is as near as is asked, or as is known", () => {
    const gap = gapNow();
    const most = { ...asked, ...known[name] };
    for (const key of Object.keys(asked) as (keyof Gap)[]) {
      expect(gap[key], key).toBeLessThan(most[key]);
    }
  });
});
