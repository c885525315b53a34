import { describe, expect, test } from "vitest";
import { BodyAges } from "../../src/policy/body-ages.ts";
import { type ContactChain, contactChain } from "../../src/policy/contact-chain.ts";
import { law } from "./sample-law.ts";

/** Two modes, three ages; a tenth and a fifth age on, and some break. */
const chain = {
  blocks: [{}, {}],
  ages: [0, 100, 300],
  ageing: [0.1, 0.2, 0],
  breaking: [0.01, 0.05, 0.2],
} as unknown as ContactChain;
/** P(it breaks on the way) of a cell, and by that what it holds: a sum that only the ages tell. */
const breaks = (ages: BodyAges, failed: number, mode: number): number => ages.passOn(failed, mode);

test("bodies of each age break with its chance, and so many are of the next age then", () => {
  const ages = new BodyAges(chain, 2);
  ages.add(1, 0, 0.6);
  ages.add(1, 1, 0.3);
  ages.add(1, 2, 0.1);
  // By hand: 0.6 x 0.01 + 0.3 x 0.05 + 0.1 x 0.2 = 0.041 of 1.
  expect(breaks(ages, 0, 1)).toBeCloseTo(0.041, 12);
  // Left: 0.594, 0.285, 0.08; of them now 0.9 x 0.594; 0.8 x 0.285 + 0.0594; 0.08 + 0.057.
  const [young, older, old] = [0.5346, 0.228 + 0.0594, 0.137];
  const whole = young + older + old;
  expect(breaks(ages, 0, 1)).toBeCloseTo((young * 0.01 + older * 0.05 + old * 0.2) / whole, 12);
  expect(breaks(ages, 0, 0)).toBe(0);
  expect(breaks(ages, 1, 1)).toBe(0);
});

test("is there anything after so many failures", () => {
  const ages = new BodyAges(chain, 2);
  expect([ages.any(0), ages.any(1)]).toEqual([false, false]);
  ages.add(1, 2, 0.1);
  expect([ages.any(0), ages.any(1)]).toEqual([true, false]);
  ages.move(0, 1, 1, { fails: 0.1, fine: 0, replaced: 0 });
  expect([ages.any(0), ages.any(1)]).toEqual([false, true]);
  ages.keep(1e-15);
  expect(ages.any(1)).toBe(false);
});

describe("a cleaning", () => {
  const cleaned = () => {
    const ages = new BodyAges(chain, 2);
    ages.add(0, 0, 0.3);
    ages.add(0, 2, 0.1);
    ages.add(1, 1, 0.6);
    ages.move(0, 1, 0, { fails: 0.1, fine: 0.12, replaced: 0.08 });
    return ages;
  };

  test("takes of each age alike: what fails goes on, what is fine waits, what is replaced is gone", () => {
    const ages = cleaned();
    // A quarter of the bodies are old, in what is left (0.1) and in what failed (0.1).
    const mixed = 0.75 * 0.01 + 0.25 * 0.2;
    expect(breaks(ages, 1, 0)).toBeCloseTo(mixed, 12);
    expect(breaks(ages, 0, 0)).toBeCloseTo(mixed, 12);
    expect(breaks(ages, 0, 1)).toBeCloseTo(0.05, 12);
  });

  test("what is fine counts no failures once it is settled", () => {
    const ages = cleaned();
    ages.move(0, 1, 0, { fails: 0.1, fine: 0, replaced: 0 });
    expect(ages.any(0)).toBe(true);
    ages.move(0, 1, 1, { fails: 0, fine: 0, replaced: 0.6 });
    expect(ages.any(0)).toBe(false);
    ages.settle();
    expect(ages.any(0)).toBe(true);
    // Settled once, it is not settled again: by a third each, 0.12 and 0.06 of age 1 are mixed.
    ages.settle();
    ages.add(0, 1, 0.06);
    const mixed = (0.12 * (0.75 * 0.01 + 0.25 * 0.2) + 0.06 * 0.05) / 0.18;
    expect(breaks(ages, 0, 0)).toBeCloseTo(mixed, 12);
  });

  test("leaves nothing below nothing, and an empty cell alone", () => {
    const ages = cleaned();
    ages.move(0, 1, 1, { fails: 0.7, fine: 0, replaced: 0 });
    expect(breaks(ages, 0, 1)).toBe(0);
    ages.move(1, 1, 1, { fails: 0, fine: 0, replaced: 0 });
    ages.move(0, 1, 1, { fails: 0.1, fine: 0.1, replaced: 0 });
    expect(breaks(ages, 0, 1)).toBe(0);
  });
});

test("a share of all replaced leaves the rest as it was", () => {
  const ages = new BodyAges(chain, 1);
  ages.add(0, 0, 0.5);
  ages.add(0, 2, 0.5);
  ages.keep(0.5);
  ages.add(0, 1, 0.5);
  expect(breaks(ages, 0, 0)).toBeCloseTo(0.25 * 0.01 + 0.25 * 0.2 + 0.5 * 0.05, 12);
});

// Weibull survival by hand, R(t) = exp(-(t / scale)^shape); a body counts as of the next age at the rate
// at which it walks from one age to the next.
test("ages of a chain: how fast bodies pass from one to the next, and how often they break", () => {
  const [shape, scale, weeks] = [2.5, 300, 4];
  const made = contactChain({ ...law, life: { shape, scale } }, weeks);
  const shares = [0, 0.4, 0.75, 1.2];
  const survives = (t: number): number => Math.exp(-((t / scale) ** shape));
  expect(made.ages).toHaveLength(4);
  for (const [a, share] of shares.entries()) {
    expect(made.ages[a]).toBeCloseTo(share * scale, 9);
    const next = shares[a + 1];
    const span = ((next ?? 0) - share) * scale;
    expect(made.ageing[a]).toBeCloseTo(next === undefined ? 0 : weeks / span, 12);
    const age = share * scale;
    const breaking =
      next === undefined
        ? 1 - survives(age + weeks) / survives(age)
        : 1 - (survives(next * scale) / survives(age)) ** (weeks / span);
    expect(made.breaking[a]).toBeCloseTo(breaking, 12);
  }
  const memoryless = contactChain({ ...law, life: { shape: 1, scale } }, weeks);
  expect([memoryless.ages, memoryless.ageing]).toEqual([[0], [0]]);
  expect(memoryless.breaking[0]).toBeCloseTo(1 - Math.exp(-weeks / scale), 12);
});
