import { describe, expect, test } from "vitest";
import { contactChain, ofKind } from "../../src/policy/contact-chain.ts";
import type { ContactLaw } from "../../src/policy/contact-law.ts";
import { followRule } from "../../src/policy/follow-rule.ts";
import type { ReadingRule } from "../../src/policy/reading-rule.ts";
import { solveChain } from "../../src/policy/solve-chain.ts";
import { never, law as sample, view } from "./sample-law.ts";

/** A contact that neither grows nor fails of itself: what happens is its body's age, and work. */
const law: ContactLaw = {
  ...sample,
  modes: [{ kind: "flat", rate: 0, weight: 1 }],
  rates: { fouled: 0, open: 0, intermittent: 0, mends: 0 },
  cure: 0.5,
  life: { shape: 2.5, scale: 30 },
};
const WEEKS = 2;
const seen = { ...view, noise: 1e-4 };

/** Followed from the highest level, oxide or film, in a body of the second age of four. */
function followed(oxide: 0 | 1, rule: Partial<ReadingRule>, walks = 4, roughly = false) {
  // By the law anew: what is laid out of one is kept with it.
  const chain = contactChain({ ...law }, WEEKS);
  const block = chain.blocks[0]!;
  const start = new Float64Array(chain.size * chain.ages.length);
  const kind = oxide === 1 ? chain.kinds.oxide.length - 1 : 0;
  start[chain.size + ofKind(block, block.start + block.levels.length - 1, kind)] = 1;
  const contact = { chain, view: seen, copies: 1, start, rule: { ...never, ...rule } };
  const { cleanings, replacements } = followRule([contact], walks, "by-reading", roughly);
  return { chain, cleanings: [...cleanings], replacements: [...replacements] };
}
const expectRow = (own: readonly number[], told: readonly number[]): void => {
  expect(own.map((each) => each.toFixed(9))).toEqual(told.map((each) => each.toFixed(9)));
};

describe("bodies age while their contacts are worked on", () => {
  // By hand: nothing done, a body of the second age breaks with b1; of those left q1 are of the third.
  test("nothing done: each age breaks with its chance, what is fitted is new", () => {
    const { chain, replacements } = followed(1, {}, 3);
    const [b0, b1, b2] = chain.breaking as readonly [number, number, number];
    const q1 = chain.ageing[1]!;
    const then = (1 - q1) * b1 + q1 * b2;
    expectRow(replacements, [0, b1, (1 - b1) * then + b1 * b0]);
  });

  test("roughly, what is fitted later is one with what stood there", () => {
    const { chain, replacements } = followed(1, {}, 3, true);
    const [b0, b1, b2] = chain.breaking as readonly [number, number, number];
    const q1 = chain.ageing[1]!;
    expectRow(replacements, [0, b1, (1 - b1) * ((1 - q1) * b1 + q1 * b2) + b1 * b0]);
  });

  // By hand: oxide reads low for certain, so each cleaning fails; the third is a replacement.
  test.each([
    ["after three failures", { replaceAfter: 3 }],
    // Under what is never read: every failure is told apart from what is replaced by its reading.
    ["after three failures, and under 1 V", { replaceAfter: 3, replaceUnder: 1 }],
  ])("replaced %s", (_, rule) => {
    const { chain, cleanings, replacements } = followed(1, { cleanUnder: 4.9, ...rule });
    const [b0, b1, b2] = chain.breaking as readonly [number, number, number];
    const q1 = chain.ageing[1]!;
    const then = (1 - q1) * b1 + q1 * b2;
    const last = (1 - b1) * (1 - then);
    expectRow(cleanings, [1, 1 - b1, last, 0]);
    // New bodies: broken in the first walk, in the second (some of them twice), and all at the third.
    const q0 = chain.ageing[0]!;
    const aged = (1 - b0) * ((1 - q0) * b0 + q0 * b1);
    const [one, two] = [b1, (1 - b1) * then + b1 * b0];
    expect(replacements[0]).toBeCloseTo(0, 12);
    expect(replacements[1]).toBeCloseTo(one, 9);
    // Replaced whole in the third walk, the last failure at once: 1 - (1 - last) of one contact.
    expect(replacements[2]).toBeCloseTo(two + last, 9);
    // Bodies fitted at the first break are a walk older, those of the second and the third are new.
    expect(replacements[3]).toBeCloseTo(b1 * aged + (two + last) * b0, 9);
  });

  // By hand: half of the film comes off at each cleaning, and reads well; the other half fails.
  test.each([
    ["cleaned on", {}],
    ["cleaned on, replaced under 1 V", { replaceUnder: 1 }],
  ])("%s, bodies keep their age", (_, rule) => {
    const { chain, cleanings, replacements } = followed(0, { cleanUnder: 4.9, ...rule }, 3);
    const [b0, b1, b2] = chain.breaking as readonly [number, number, number];
    const q1 = chain.ageing[1]!;
    const then = (1 - q1) * b1 + q1 * b2;
    expectRow(cleanings, [1, (1 - b1) / 2, ((1 - b1) * (1 - then)) / 4]);
    expectRow(replacements, [0, b1, (1 - b1) * then + b1 * b0]);
  });

  test.each([
    ["left after one failure", { leaveAfter: 1 }],
    ["left after one, replaced under 1 V", { leaveAfter: 1, replaceUnder: 1 }],
  ])("%s, bodies keep their age", (_, rule) => {
    const { chain, cleanings, replacements } = followed(0, { cleanUnder: 4.9, ...rule }, 3);
    const [b0, b1, b2] = chain.breaking as readonly [number, number, number];
    const q1 = chain.ageing[1]!;
    expectRow(cleanings, [1, 0, 0]);
    expectRow(replacements, [0, b1, (1 - b1) * ((1 - q1) * b1 + q1 * b2) + b1 * b0]);
  });

  test("replaced at once, and by what it reads after a cleaning, all is new", () => {
    for (const rule of [
      { first: "replace", cleanUnder: 4.9 },
      { cleanUnder: 4.9, replaceUnder: 4.9 },
    ] as const) {
      const { chain, replacements } = followed(1, rule, 2);
      expectRow(replacements, [1, chain.breaking[0]!]);
    }
  });
});

// By hand, no interest: walks every 8 weeks for 40, then every 32 to the end of six years, 272 weeks on:
// five and nine steps, each with its own chance that a body of memoryless life breaks and is replaced.
test("near walks are taken one by one, far ones four at a time, five years beyond the horizon", () => {
  const still = { ...law, limit: { logOhms: 50, scatter: 0.1 }, life: { shape: 1, scale: 300 } };
  const prices = { clean: 1e6, replace: 40, lowWeek: 0, openWeek: 0, intermittentWeek: 0 };
  const breaks = (weeks: number): number => 1 - Math.exp(-weeks / 300);
  const fresh = (discountRate: number, years = 1) =>
    solveChain(still, prices, 8, { discountRate, years }).fresh;
  expect(fresh(0)).toBeCloseTo(40 * (5 * breaks(8) + 9 * breaks(32)), 6);
  // Each is paid at the next walk, worth what it is worth then.
  const worth = (week: number): number => 1.05 ** -(week / 52);
  let told = 0;
  for (let step = 1; step <= 5; step++) told += breaks(8) * worth(8 * step);
  for (let step = 1; step <= 9; step++) told += breaks(32) * worth(40 + 32 * step);
  expect(fresh(0.05)).toBeCloseTo(40 * told, 6);
  // Five years more: 532 weeks behind the near ones, 17 steps.
  expect(fresh(0, 6)).toBeCloseTo(40 * (5 * breaks(8) + 17 * breaks(32)), 6);
});
