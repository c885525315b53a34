import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Estimate, WalkDiagnosis } from "../../src/domain/findings.ts";
import { bruteForce, type Quantiles, type ReferenceAnswer } from "../reference/brute-force.ts";
import { largestDisagreement } from "../reference/disagreement.ts";
import { storedWalks } from "../reference/stored-walks.ts";

/**
 * The diagnosis against brute-force integration of the same model (tests/reference, which shares
 * no code with src). Mark of every number here: computed, by `npm run reference`.
 */

const written = (value: number): number | null => (Number.isFinite(value) ? value : null);
const quantiles = ({ median, low, high }: Estimate): Quantiles => ({
  median: written(median),
  low: written(low),
  high: written(high),
});

const asAnswer = (found: WalkDiagnosis): ReferenceAnswer => ({
  logEvidence: found.logEvidence,
  emf: quantiles(found.emf),
  connectors: found.connectors,
  contacts: found.contacts.map((contact) => ({ ...contact, ohms: quantiles(contact.ohms) })),
});

const walks = storedWalks();

describe.each(walks)("$name", ({ pool, readings, answer }) => {
  test("probabilities within 0.005, evidence 0.01, medians 2 %, bounds 5 %, supply 2 mV", () => {
    const gap = largestDisagreement(asAnswer(diagnose(pool, readings)), answer);
    expect(gap.probability).toBeLessThan(0.005);
    expect(gap.logEvidence).toBeLessThan(0.01);
    expect(gap.median).toBeLessThan(0.02);
    expect(gap.bound).toBeLessThan(0.05);
    expect(gap.emf).toBeLessThan(0.002);
  });
});

test("at least ten walks were compared", () => {
  expect(walks.length).toBeGreaterThanOrEqual(10);
});

const small = ["repeated readings that disagree", "display step from the sheet"];

test.each(small)("the stored answer of '%s' is what brute force gives today", (start) => {
  const walk = walks.find(({ name }) => name.startsWith(start))!;
  const again = bruteForce(walk.pool, walk.readings, { points: 1024, shift: 3 });
  const gap = largestDisagreement(again, walk.answer);
  expect(gap.probability).toBeLessThan(0.004);
  expect(gap.logEvidence).toBeLessThan(0.01);
  expect(gap.median).toBeLessThan(0.02);
});
