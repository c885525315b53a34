import { describe, expect, test } from "vitest";
import {
  ageShares,
  type BeliefPoint,
  modesFor,
  soundBelief,
  statesOf,
} from "../../src/policy/contact-belief.ts";
import { contactChain } from "../../src/policy/contact-chain.ts";
import type { ContactLaw } from "../../src/policy/contact-law.ts";
import { law as sample } from "./sample-law.ts";

const law: ContactLaw = {
  ...sample,
  modes: [
    { kind: "flat", rate: 0, weight: 0.25 },
    { kind: "log", rate: 0.04, weight: 0.25 },
    { kind: "log", rate: 0.12, weight: 0.25 },
    { kind: "ohm", rate: 0.9, weight: 0.25 },
  ],
  life: { shape: 2, scale: 400 },
};
const chain = contactChain(law, 4);
/** By the law anew: its modes are ordered once. */
const modes = (kind: "flat" | "log" | "ohm", rate: number, of = chain) =>
  modesFor({ ...of, law: { ...of.law } }, { kind, rate }, Math.log(2)).map(({ mode, share }) => [
    mode,
    Number(share.toFixed(9)),
  ]);

describe("the modes that stand for a growth", () => {
  test("are the two of its kind on either side of its rate, by distance", () => {
    expect(modes("log", 0.04)).toEqual([
      [0, 0],
      [1, 1],
    ]);
    expect(modes("log", 0.1)).toEqual([
      [1, 0.25],
      [2, 0.75],
    ]);
    expect(modes("log", 0.01)).toEqual([
      [0, 0.75],
      [1, 0.25],
    ]);
    expect(modes("log", 0.5)).toEqual([[2, 1]]);
    expect(modes("ohm", 0.45)).toEqual([
      [0, 0.5],
      [3, 0.5],
    ]);
  });

  test("no growth is the flat one, or the first where there is none", () => {
    expect(modes("flat", 0)).toEqual([[0, 1]]);
    expect(modes("log", 0)).toEqual([[0, 1]]);
    const grows = contactChain({ ...law, modes: law.modes.slice(1) }, 4);
    expect(modes("flat", 0, grows)).toEqual([[0, 1]]);
    expect(modes("log", 0.01, grows)).toEqual([[0, 1]]);
  });

  // At 2 ohm a growth of 0.1 ohm a week is one of 0.05 of itself, and the other way round.
  test("a kind that the chain lacks is stood for by the other, as fast at this level", () => {
    const shares = contactChain({ ...law, modes: law.modes.slice(0, 3) }, 4);
    expect(modes("ohm", 0.16, shares)).toEqual([
      [1, 0.5],
      [2, 0.5],
    ]);
    const ohms = contactChain({ ...law, modes: [law.modes[0]!, law.modes[3]!] }, 4);
    expect(modes("log", 0.225, ohms)).toEqual([
      [0, 0.5],
      [1, 0.5],
    ]);
    const flat = contactChain({ ...law, modes: [law.modes[0]!] }, 4);
    expect(modes("ohm", 1, flat)).toEqual([[0, 1]]);
  });
});

describe("the states that a point stands for", () => {
  const point = (changed: Partial<BeliefPoint> = {}): BeliefPoint => ({
    ...({ state: "conducts", oxide: 0.3, level: Math.log(3), weight: 1 } as const),
    growth: { kind: "log", rate: 0.04 },
    ...changed,
  });
  const sum = (of: BeliefPoint) => statesOf(chain, of).reduce((all, { weight }) => all + weight, 0);

  test("what does not conduct has a state by itself", () => {
    const [block] = [chain.blocks[1]!];
    const at = (state: BeliefPoint["state"]) =>
      statesOf(chain, point({ state })).filter(({ weight }) => weight > 0);
    expect(at("open")).toEqual([{ state: block.open, weight: 1 }]);
    expect(at("open-for-good")).toEqual([{ state: block.open + 1, weight: 1 }]);
    expect(at("intermittent")).toEqual([{ state: block.intermittent, weight: 1 }]);
    expect(at("loose-for-good")).toEqual([{ state: block.intermittent + 1, weight: 1 }]);
  });

  // Between two nodes either way: the mean of level and of oxide is the point's own.
  test("what conducts lies between two levels and two kinds, at its own mean", () => {
    const own = point({ oxide: 0.5 });
    const block = chain.blocks[1]!;
    let [level, oxide] = [0, 0];
    for (const { state, weight } of statesOf(chain, own)) {
      if (weight === 0) continue;
      const at = state - block.start;
      level += weight * block.levels[at % block.levels.length]!;
      oxide += weight * chain.kinds.oxide[Math.floor(at / block.levels.length)]!;
    }
    expect(level).toBeCloseTo(Math.log(3), 9);
    expect(oxide).toBeCloseTo(0.5, 9);
    expect(sum(own)).toBeCloseTo(1, 12);
    expect(sum(point({ growth: { kind: "log", rate: 0.1 } }))).toBeCloseTo(1, 12);
  });
});

test("an age lies between two that are told apart, the oldest is the last", () => {
  const ages = { ages: [0, 100, 300] } as unknown as typeof chain;
  expect(ageShares(ages, 0)).toEqual([
    { index: 0, share: 1 },
    { index: 1, share: 0 },
  ]);
  expect(ageShares(ages, 75)).toEqual([
    { index: 0, share: 0.25 },
    { index: 1, share: 0.75 },
  ]);
  expect(ageShares(ages, 200)).toEqual([
    { index: 1, share: 0.5 },
    { index: 2, share: 0.5 },
  ]);
  expect(ageShares(ages, 300)).toEqual([{ index: 2, share: 1 }]);
  expect(ageShares(ages, 900)).toEqual([{ index: 2, share: 1 }]);
  expect(ageShares(ages, -1)).toEqual([{ index: 0, share: 1 }]);
});

test("a new contact stands at its floor, growing as any does", () => {
  const belief = soundBelief({
    ...law,
    floor: [
      { value: -1, weight: 0.5 },
      { value: 0, weight: 0.5 },
    ],
  });
  expect(belief).toHaveLength(8);
  expect(belief[0]).toEqual({
    ...{ state: "conducts", oxide: 0.3, growth: law.modes[0], level: -1, weight: 0.125 },
  });
  expect(belief.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
});
