import { describe, expect, test } from "vitest";
import { contactChain, ofKind } from "../../src/policy/contact-chain.ts";
import { type ContactLaw, type GrowthMode, grownLevel } from "../../src/policy/contact-law.ts";
import { levelGrid } from "../../src/policy/level-grid.ts";
import { runWalks } from "../../src/policy/solve-chain.ts";
import { prices, law as sample } from "./sample-law.ts";
import { slowPolicy } from "./slow-policy.ts";

/** Two weeks from walk to walk; floors and the fouled level lie on nodes of the mode's own grid. */
const WEEKS = 2;
const low = Math.log(0.5);
const lawOf = (kind: GrowthMode["kind"], cure: number): ContactLaw => {
  const mode = { kind, rate: kind === "flat" ? 0 : kind === "log" ? 0.08 : 0.9, weight: 1 };
  const levels = levelGrid({ ...sample, floor: [{ value: low, weight: 1 }] }, mode, WEEKS);
  return {
    ...sample,
    modes: [mode],
    cure,
    floor: [
      { value: low, weight: 0.7 },
      { value: levels[2]!, weight: 0.3 },
    ],
    fouled: [
      { value: levels[8]!, weight: 0.6 },
      { value: levels[14]!, weight: 0.4 },
    ],
  };
};
const others = ["open", "open-for-good", "intermittent", "loose-for-good"] as const;

// A tree over exact levels that shares no code with the grid (slow-policy.ts), one and two walks long.
describe.each(["flat", "log", "ohm"] as const)("growth %s", (kind) => {
  test.each([
    [1, 1],
    [1, 0.8],
    [2, 1],
    [2, 0.8],
  ])("%i walks told backward cost what a tree costs, cure %d", (walks, cure) => {
    const law = lawOf(kind, cure);
    const solved = runWalks(contactChain(law, WEEKS), prices, 0.03, walks);
    const slow = slowPolicy(law, prices, WEEKS, walks, 0.03);
    const { kinds, blocks } = solved.chain;
    const block = blocks[0]!;
    // The chance of oxide after a second failure lies between two that are told apart.
    const exact = cure === 1 ? kinds.oxide.length : 2;
    for (let j = 0; j + walks < block.levels.length; j += 6)
      for (const [k, oxide] of kinds.oxide.entries()) {
        const at = ofKind(block, block.start + j, k);
        const state = { mode: 0, kind: "conducts" as const, level: block.levels[j]!, oxide };
        expect(solved.wait[at]).toBeCloseTo(slow.wait(0, state), 8);
        if (k >= exact) continue;
        expect(solved.second[at]).toBeCloseTo(slow.second(0, state), 8);
        expect(solved.best[at]).toBeCloseTo(slow.best(0, state), 8);
      }
    for (const [k, other] of others.entries()) {
      const state = { mode: 0, kind: other, level: 0, oxide: 0 };
      expect(solved.wait[block.open + k]).toBeCloseTo(slow.wait(0, state), 8);
      expect(solved.best[block.open + k]).toBeCloseTo(slow.best(0, state), 8);
    }
    expect(solved.fresh).toBeCloseTo(slow.replaced(0) - prices.replace, 8);
  });
});

// Free work: every walk begins with a new contact, and what a walk costs is its own trouble.
test("where work is free every walk begins anew", () => {
  const law = lawOf("log", 1);
  const free = { ...prices, clean: 0, replace: 0 };
  const solved = runWalks(contactChain(law, WEEKS), free, 0.03, 3);
  const slow = slowPolicy(law, free, WEEKS, 3, 0.03);
  const block = solved.chain.blocks[0]!;
  for (const j of [0, 5, 20]) {
    const state = { mode: 0, kind: "conducts" as const, level: block.levels[j]!, oxide: law.oxide };
    const at = ofKind(block, block.start + j, solved.chain.kinds.fresh);
    expect(solved.wait[at]).toBeCloseTo(slow.wait(0, state), 8);
    expect(solved.best[at]).toBeCloseTo(slow.best(0, state), 8);
    expect(solved.second[at]).toBeCloseTo(slow.second(0, state), 8);
  }
  expect(solved.fresh).toBeCloseTo(slow.replaced(0), 8);
});

test("two modes are drawn anew at a replacement, by their weights", () => {
  const flat = { kind: "flat", rate: 0, weight: 0.25 } as const;
  const law = { ...lawOf("flat", 1), floor: [{ value: low, weight: 1 }] };
  const modes = [flat, { kind: "log", rate: 0.08, weight: 0.75 } as const];
  const both = { ...law, modes, rates: { ...law.rates, fouled: 0 } };
  const solved = runWalks(contactChain(both, WEEKS), prices, 0.03, 3);
  const slow = slowPolicy(both, prices, WEEKS, 3, 0.03);
  for (const [mode, block] of solved.chain.blocks.entries()) {
    const state = { mode, kind: "conducts" as const, level: low, oxide: law.oxide };
    const at = ofKind(block, block.start, solved.chain.kinds.fresh);
    expect(solved.best[at]).toBeCloseTo(slow.best(0, state), 8);
  }
  expect(solved.fresh).toBeCloseTo(slow.replaced(0) - prices.replace, 8);
});

test("a level grown for some weeks", () => {
  expect(grownLevel({ kind: "flat", rate: 0, weight: 1 }, 2, 5)).toBe(2);
  expect(grownLevel({ kind: "log", rate: 0.1, weight: 1 }, 2, 5)).toBeCloseTo(2.5, 12);
  expect(Math.exp(grownLevel({ kind: "ohm", rate: 3, weight: 1 }, Math.log(4), 5))).toBeCloseTo(
    19,
    9,
  );
});
