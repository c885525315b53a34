import { expect, test } from "vitest";
import { cleanMass } from "../../src/policy/clean-mass.ts";
import { contactChain, troubleWeeks } from "../../src/policy/contact-chain.ts";
import { followRule } from "../../src/policy/follow-rule.ts";
import { push } from "../../src/policy/push.ts";
import { readsUnder } from "../../src/policy/reading-rule.ts";
import { law, never, view } from "./sample-law.ts";

const chain = contactChain(law, 2);
const fresh = (): Float64Array => {
  const start = new Float64Array(chain.size * chain.ages.length);
  for (const { state, weight } of chain.fresh) start[state]! += weight;
  return start;
};
const sum = (values: Float64Array): number => values.reduce((all, each) => all + each, 0);

// A body of memoryless life, mean 300 weeks, looked at every 2: replaced at the next walk, so over
// 100 walks 99 * (1 - exp(-2/300)) replacements are expected, whatever its contact does.
test("with nothing done a body is replaced as often as it breaks", () => {
  const amounts = followRule([{ chain, view, copies: 1, start: fresh(), rule: never }], 100);
  expect(sum(amounts.cleanings)).toBe(0);
  expect(sum(amounts.replacements)).toBeCloseTo(99 * -Math.expm1(-2 / 300), 9);
});

test("a rule by the calendar cleans as often as the calendar says", () => {
  const rule = { ...never, cleanEvery: 8 };
  const amounts = followRule([{ chain, view, copies: 3, start: fresh(), rule }], 40);
  expect(sum(amounts.cleanings)).toBeCloseTo(10, 9);
  for (const [t, each] of amounts.cleanings.entries())
    expect(each).toBeCloseTo(t % 4 === 0 ? 1 : 0, 9);
});

test("a lower limit cleans less and leaves the path low for longer", () => {
  const at = (volts: number) =>
    followRule(
      [
        {
          chain,
          view,
          copies: 1,
          start: fresh(),
          rule: { ...never, cleanUnder: volts, replaceAfter: 1 },
        },
      ],
      100,
    );
  const [tight, loose] = [at(4.95), at(4.7)];
  expect(sum(loose.cleanings)).toBeLessThan(sum(tight.cleanings));
  expect(sum(loose.trouble[0]!.low)).toBeGreaterThan(sum(tight.trouble[0]!.low));
});

// A contact that never grows, is open for good from the start and fails no more of itself: it is
// cleaned once, replaced at once after the one failure, and nothing happens after that.
test("what stays open after its first cleaning is replaced in the same walk", () => {
  const still = {
    ...law,
    modes: [{ kind: "flat" as const, rate: 0, weight: 1 }],
    rates: { fouled: 0, open: 0, intermittent: 0, mends: 0 },
    life: { shape: 1, scale: 1e12 },
  };
  const own = contactChain(still, 2);
  const start = new Float64Array(own.size);
  start[own.blocks[0]!.open + 1] = 1;
  const amounts = followRule(
    [
      {
        chain: own,
        view,
        copies: 1,
        start,
        rule: { ...never, cleanUnder: 4.8, replaceAfter: 1 },
      },
    ],
    20,
  );
  expect(amounts.cleanings[0]).toBeCloseTo(1, 9);
  expect(amounts.replacements[0]).toBeCloseTo(1, 9);
  expect(sum(amounts.trouble[0]!.open)).toBeCloseTo(0, 6);
  expect(sum(amounts.replacements)).toBeCloseTo(1, 6);
});

// The same course over the whole table of states, kinds and ages at once, told by push.ts, which is
// held against the transpose of carry.ts. Without ageing the two are one; with it the age of what is
// fitted later is taken apart from how far its contact has grown.
test.each([
  { shape: 1, within: 1e-9 },
  { shape: 2.5, within: 0.01 },
])(
  "true states and ages apart say what the whole table says, shape $shape",
  ({ shape, within }) => {
    const own = contactChain({ ...law, life: { shape, scale: 300 } }, 2);
    const walks = 200;
    const start = new Float64Array(own.size * own.ages.length);
    for (const { state, weight } of own.fresh) start[state]! += weight;
    const rule = { ...never, cleanUnder: 4.9 };
    const amounts = followRule([{ chain: own, view, copies: 1, start, rule }], walks);
    const under = readsUnder(own, view, 4.9);
    const { low } = troubleWeeks(own);
    let mass: Float64Array = start.slice();
    let [cleanings, replacements, lowWeeks] = [0, 0, 0];
    for (let t = 0; t < walks; t++) {
      const taken = mass.map((here, at) => here * under[at % own.size]!);
      const after = mass.map((here, at) => here - taken[at]!);
      cleanMass(own, taken, after);
      cleanings += sum(taken);
      const breaks = (at: number): number => own.breaking[Math.floor(at / own.size)]!;
      const broken = sum(after.map((here, at) => here * breaks(at)));
      const kept = after.map((here, at) => here * (1 - breaks(at)));
      lowWeeks += sum(kept.map((here, at) => here * low[at % own.size]!));
      if (t + 1 < walks) replacements += broken;
      mass = new Float64Array(mass.length);
      push(own, kept, mass);
      for (const { state, weight } of own.fresh) mass[state]! += broken * weight;
    }
    expect(Math.abs(sum(amounts.cleanings) / cleanings - 1)).toBeLessThan(within);
    expect(Math.abs(sum(amounts.replacements) / replacements - 1)).toBeLessThan(within);
    expect(Math.abs(sum(amounts.trouble[0]!.low) / lowWeeks - 1)).toBeLessThan(within);
  },
);
