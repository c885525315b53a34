import { describe, expect, test } from "vitest";
import type { ClassPolicy, Stage } from "../../src/policy/class-policy.ts";
import { ageShares, type BeliefPoint, statesOf } from "../../src/policy/contact-belief.ts";
import { contactChain } from "../../src/policy/contact-chain.ts";
import { type HeldContact, pointCosts } from "../../src/policy/contact-costs.ts";
import type { ContactLaw } from "../../src/policy/contact-law.ts";
import type { SolvedChain } from "../../src/policy/solve-chain.ts";
import { prices, law as sample } from "./sample-law.ts";

const law: ContactLaw = {
  ...sample,
  modes: [
    { kind: "flat", rate: 0, weight: 0.5 },
    { kind: "log", rate: 0.08, weight: 0.3 },
    { kind: "ohm", rate: 0.9, weight: 0.2 },
  ],
  floor: [
    { value: Math.log(0.5), weight: 0.75 },
    { value: Math.log(0.8), weight: 0.25 },
  ],
  life: { shape: 2, scale: 400 },
};
const chain = contactChain(law, 4);
const states = chain.size * chain.ages.length;

/** A policy whose values are any numbers, told apart by a seed: what is asked is which are looked up. */
const policyOf = (seed: number): ClassPolicy => {
  const table = (k: number): Float64Array =>
    Float64Array.from({ length: states }, (_, s) => 50 + 30 * Math.sin(s * 12.9898 + k));
  const solved = (n: number): SolvedChain => ({
    ...{ chain, prices, wait: table(seed + n), second: table(seed + n + 0.3), fresh: 0 },
    best: table(seed + n + 0.7),
  });
  return { byShare: [0.5, 1].map((share, n) => ({ share, solved: solved(n) })) };
};
/** Policies anew: what is laid out of them is kept with them. */
const both = () => ({ policy: policyOf(1), cured: policyOf(7) });
const point = (changed: Partial<BeliefPoint>): BeliefPoint => ({
  ...({ state: "conducts", oxide: 0.3, level: Math.log(3), weight: 0.2 } as const),
  growth: { kind: "log", rate: 0.05 },
  ...changed,
});
const belief = [
  point({}),
  point({ oxide: 0.5, level: Math.log(20), growth: { kind: "flat", rate: 0 } }),
  point({ oxide: 0, level: Math.log(0.1), growth: { kind: "ohm", rate: 0.4 } }),
  point({ state: "open" }),
  point({ state: "open-for-good", growth: { kind: "flat", rate: 0 } }),
  point({ state: "intermittent" }),
  point({ state: "loose-for-good" }),
];

/** Mean of a table over the states that a point stands for, at an age between two. */
function meanOf(table: Float64Array, of: BeliefPoint, ageWeeks: number): number {
  let sum = 0;
  for (const { index, share } of ageShares(chain, ageWeeks))
    for (const { state, weight } of statesOf(chain, of))
      sum += share * weight * table[index * chain.size + state]!;
  return sum;
}

// By definition: true states' values averaged over what a point stands for; a cleaning cures film with
// `cure`, and what it leaves is more likely oxide, by Bayes; a second stage leads to waiting.
describe.each([
  ["first", 0, 0],
  ["first", 130, 10],
  ["second", 700, 4],
] as const)(
  "stage %s, age %d weeks, others of the path %d ohm over sound",
  (stage, age, excess) => {
    const made = (): HeldContact => ({ ...both(), belief, excess });
    const felt = (level: number): number => Math.log(Math.exp(level) + excess);
    const at = (of: BeliefPoint): BeliefPoint => ({ ...of, level: felt(of.level) });
    const floored = (table: Float64Array, of: BeliefPoint, oxide: number): number =>
      law.floor.reduce(
        (sum, { value, weight }) =>
          sum +
          weight * meanOf(table, { ...of, state: "conducts", oxide, level: felt(value) }, age),
        0,
      );

    test("waiting", () => {
      const contact = made();
      const { wait } = pointCosts(contact, age, stage);
      for (const [n, { solved }] of contact.policy.byShare.entries())
        for (const [k, each] of belief.entries())
          expect(wait[n]![k], `${n} ${k}`).toBeCloseTo(meanOf(solved.wait, at(each), age), 9);
    });

    test("cleaning", () => {
      const contact = made();
      const { clean } = pointCosts(contact, age, stage);
      const policies = [contact.policy, contact.cured];
      const after = ({ second, wait }: SolvedChain) => (stage === "first" ? second : wait);
      for (const n of [0, 1]) {
        const [own, good] = policies.map(({ byShare }) => after(byShare[n]!.solved));
        for (const [k, each] of belief.entries()) {
          const film = 1 - each.oxide;
          const oxide = each.oxide / (each.oxide + film * (1 - law.cure));
          const expected = {
            conducts: () =>
              film * law.cure * floored(good!, each, 0) +
              (1 - film * law.cure) * meanOf(own!, at({ ...each, oxide }), age),
            open: () => floored(good!, each, law.oxide),
            intermittent: () => floored(good!, each, law.oxide),
            "open-for-good": () => meanOf(own!, each, age),
            "loose-for-good": () => meanOf(own!, each, age),
          }[each.state]();
          expect(clean[n]![k], `${n} ${k}`).toBeCloseTo(expected, 9);
        }
      }
    });

    test("replacing: a new contact at its floor, whatever stood there", () => {
      const contact = made();
      const { replace } = pointCosts(contact, age, stage);
      for (const [n, { solved }] of contact.cured.byShare.entries()) {
        let expected = 0;
        for (const growth of law.modes)
          for (const { value, weight } of law.floor)
            expected +=
              growth.weight *
              weight *
              meanOf(solved.wait, point({ growth, level: felt(value), oxide: law.oxide }), 0);
        expect([...replace[n]!].map((each) => each.toFixed(9))).toEqual(
          belief.map(() => expected.toFixed(9)),
        );
      }
    });
  },
);

test("asked for again, and at another age or stage, the costs are their own", () => {
  const contact: HeldContact = { ...both(), belief, excess: 0 };
  const all = (
    [
      [0, "first"],
      [0, "second"],
      [300, "first"],
      [0, "first"],
    ] as const
  ).map(([age, stage]: readonly [number, Stage]) => pointCosts(contact, age, stage));
  expect(all[3]).toEqual(all[0]);
  expect(all[1]!.clean).not.toEqual(all[0]!.clean);
  expect(all[2]!.wait).not.toEqual(all[0]!.wait);
  const other = pointCosts({ ...contact, policy: policyOf(3) }, 0, "first");
  expect(other.wait).not.toEqual(all[0]!.wait);
  const better = pointCosts({ ...contact, cured: policyOf(3) }, 0, "first");
  expect(better.wait).toEqual(all[0]!.wait);
  expect(better.replace).not.toEqual(all[0]!.replace);
});
