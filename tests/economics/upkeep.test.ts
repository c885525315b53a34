import { expect, test } from "vitest";
import { asTheyAre, whenNew } from "../../src/economics/upkeep.ts";
import { contactChain } from "../../src/policy/contact-chain.ts";
import { law } from "../policy/sample-law.ts";
import { group } from "./hand-made.ts";

const worn = { ...law, life: { shape: 2.5, scale: 300 } };
const chain = contactChain(worn, 13);
const sum = (values: Iterable<number>): number => [...values].reduce((all, each) => all + each, 0);
const base = group([1, 2], { law: worn });
const [contact] = base.contacts;
const [belief] = contact!.beliefs;
const open = belief!.belief.map((point) => ({ ...point, state: "open" as const }));

// Of two plates one conducts and is new, one is open and as old as the chain tells apart.
test("a group starts as its connectors stand, each by its share, state and age", () => {
  const oldest = chain.ages.length - 1;
  const beliefs = [
    { ...belief!, share: 0.25 },
    { belief: open, ageWeeks: 1e6, share: 0.75 },
  ];
  const own = { ...contact!, copies: 3, beliefs };
  const [followed] = asTheyAre({ ...base, contacts: [own] }, chain, ({ rule }) => rule);
  expect(sum(followed!.start)).toBeCloseTo(1, 12);
  const ofAge = (age: number) => followed!.start.subarray(age * chain.size, (age + 1) * chain.size);
  expect(sum(ofAge(0))).toBeCloseTo(0.25, 12);
  expect(sum(ofAge(oldest))).toBeCloseTo(0.75, 12);
  expect(sum(chain.blocks.map((block) => ofAge(oldest)[block.open]!))).toBeCloseTo(0.75, 12);
  expect(sum(chain.blocks.map((block) => ofAge(0)[block.open]!))).toBe(0);
  expect(followed).toMatchObject({ copies: 3, chain, view: own.view });
  expect(followed!.rule).toBe(own.rule);
});

test("the option's rule takes the place of each contact's own", () => {
  const rule = { ...contact!.rule, cleanEvery: 8 };
  expect(asTheyAre(base, chain, () => rule)[0]!.rule).toBe(rule);
});

test("a connector just fitted stands at its floor, of no age, and is kept as new ones are", () => {
  const ruleWhenNew = { ...contact!.rule, cleanEvery: 4 };
  const [fresh] = whenNew({ ...base, contacts: [{ ...contact!, ruleWhenNew, copies: 2 }] }, chain);
  expect(sum(fresh!.start)).toBeCloseTo(1, 12);
  for (const { state, weight } of chain.fresh)
    expect(fresh!.start[state]).toBeGreaterThanOrEqual(weight);
  expect(fresh).toMatchObject({ copies: 2, rule: ruleWhenNew });
});
