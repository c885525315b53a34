import { describe, expect, test } from "vitest";
import type { Step } from "../../src/domain/courses.ts";
import { classPolicy } from "../../src/policy/class-policy.ts";
import type { BeliefPoint } from "../../src/policy/contact-belief.ts";
import type { ContactLaw, StepPrices } from "../../src/policy/contact-law.ts";
import {
  cheapest,
  type HeldConnector,
  heldConnector,
  stepCosts,
  withBelief,
} from "../../src/policy/held-connector.ts";
import { pinnedRule } from "../../src/policy/pinned-rule.ts";
import { view as plainView, prices, law as sample } from "./sample-law.ts";

const law: ContactLaw = { ...sample, modes: [{ kind: "log", rate: 0.08, weight: 1 }] };
const view = { ...plainView, noise: 0.01 };
const levelBehind = (volts: number): number => Math.log(Math.max(0.01, 5000 / volts - 1000));
const growth = { kind: "log", rate: 0.08 } as const;
const conducting = (weight: number, oxide: number, level = 0): BeliefPoint => ({
  ...({ state: "conducts", oxide, growth, level, weight } as const),
});

function heldAt(belief: readonly BeliefPoint[], own: StepPrices, of = law): HeldConnector {
  const policy = classPolicy(of, own, 1, 8, { discountRate: 0.03, years: 1 });
  return heldConnector([{ policy, cured: policy, belief, excess: 0 }], 0, own);
}

/** What is done at each reading, a step of the display after the other, from the top down. */
function scan(held: HeldConnector, oxide: number, second: boolean): (Step | undefined)[] {
  const top = Math.round(5 / 0.01);
  const steps: (Step | undefined)[] = [];
  for (let k = top; k * 0.01 > 0.5; k--) {
    // Noise by three nodes of Gauss and Hermite.
    const belief = [-1, 0, 1].map((side) =>
      conducting(
        side === 0 ? 2 / 3 : 1 / 6,
        oxide,
        levelBehind(k * 0.01 + side * Math.sqrt(3) * view.noise),
      ),
    );
    steps[k] = cheapest(stepCosts(withBelief(held, belief, 0, second ? "second" : "first")));
  }
  return steps;
}

/** The rule by its words: read off the whole scan, for the chance of oxide after each failure. */
function toldRule(held: HeldConnector, oxide: number) {
  const after = [oxide];
  for (let k = 0; k < 3; k++)
    after.push(after[k]! / (after[k]! + (1 - after[k]!) * (1 - law.cure)));
  const under = (failures: number, second: boolean, acts: (step: Step) => boolean) => {
    const steps = scan(held, after[failures]!, second);
    const highest = steps.findLastIndex((step) => step !== undefined && acts(step));
    return highest < 0
      ? null
      : { volts: Number(((highest + 1) * 0.01).toFixed(2)), step: steps[highest]! };
  };
  const first = under(0, false, (step) => step !== "wait");
  const replaces = [1, 2, 3].map((failures) => under(failures, true, (step) => step === "replace"));
  const sure = replaces.findIndex(
    (each) => first !== null && each !== null && each.volts >= first.volts,
  );
  const leaves = [1, 2, 3].findIndex((n) => under(n, false, (step) => step !== "wait") === null);
  return {
    first,
    replaces,
    sure: sure < 0 ? null : sure + 1,
    leaves: leaves < 0 ? null : leaves + 1,
  };
}

const cases: readonly (readonly [string, StepPrices, number])[] = [
  ["cheap cleaning", prices, 0.3],
  ["replaced after one failure", { ...prices, clean: 10, replace: 26 }, 0.3],
  ["replaced after two", { ...prices, clean: 10, replace: 40 }, 0.3],
  ["cheap parts", { ...prices, replace: 12 }, 0.3],
  ["dear parts", { ...prices, replace: 4000 }, 0.3],
  ["parts that cost no more than cleaning", { ...prices, clean: 12, replace: 12.5 }, 0.6],
  ["nothing is worth it", { ...prices, clean: 1e5, replace: 2e5 }, 0.3],
  ["dear parts, likely oxide", { ...prices, clean: 8, replace: 4000 }, 0.7],
];

/** Each told once. */
const told = new Map<string, ReturnType<typeof toldRule>>();

describe.each(cases)("%s", (name, own, oxide) => {
  test("the rule is what the policy comes to, reading by reading", () => {
    const held = heldAt([conducting(1, oxide)], own);
    const rule = pinnedRule({ focused: held, ageWeeks: 0, view, levelBehind });
    const { first, replaces, sure, leaves } = told.get(name) ?? toldRule(held, oxide);
    told.set(name, { first, replaces, sure, leaves });
    expect(rule.cleanEvery).toBeNull();
    if (first === null) {
      expect(rule).toMatchObject({
        ...{ first: "clean", cleanUnder: null, replaceUnder: null, replaceAfter: null },
        leaveAfter: null,
      });
      return;
    }
    expect(rule.cleanUnder).toBe(first.volts);
    expect(rule.first).toBe(first.step === "replace" ? "replace" : "clean");
    if (rule.first === "replace") {
      expect([rule.replaceUnder, rule.replaceAfter, rule.leaveAfter]).toEqual([null, null, null]);
      return;
    }
    expect(rule.replaceAfter).toBe(sure);
    expect(rule.leaveAfter).toBe(sure === null ? leaves : null);
    const [one, , three] = replaces;
    const asked = one ?? (sure === null ? three : null);
    const volts = asked == null ? null : Math.min(asked.volts, first.volts);
    expect(rule.replaceUnder).toBe(volts);
  });
});

test("the cases tell rules of every kind apart", () => {
  const rules = cases.map(([, own, oxide]) => {
    const held = heldAt([conducting(1, oxide)], own);
    return pinnedRule({ focused: held, ageWeeks: 0, view, levelBehind });
  });
  expect(rules.map(({ first }) => first)).toContain("replace");
  expect(rules.some(({ cleanUnder }) => cleanUnder === null)).toBe(true);
  expect(rules.some(({ replaceAfter }) => replaceAfter !== null)).toBe(true);
  expect(rules.some(({ leaveAfter }) => leaveAfter !== null)).toBe(true);
});

describe("of what is believed", () => {
  const ruleOf = (belief: readonly BeliefPoint[], of = law) =>
    pinnedRule({ focused: heldAt(belief, prices, of), ageWeeks: 0, view, levelBehind });
  const alone = ruleOf([conducting(1, 0.3)]);

  test("levels, and what does not conduct, are none of a reading's business", () => {
    expect(ruleOf([conducting(0.5, 0.3, 7), conducting(0.5, 0.3, -2)])).toEqual(alone);
    const open = { ...conducting(0.6, 0.9), state: "open" } as const;
    expect(ruleOf([conducting(0.4, 0.3), open])).toEqual(alone);
  });

  test("near growths are one, with their mean chance of oxide", () => {
    expect(ruleOf([conducting(0.5, 0.1), conducting(0.5, 0.5)])).toEqual(alone);
    expect(ruleOf([conducting(1, 0.9)])).not.toEqual(alone);
  });

  test("where nothing conducts it is as a new contact of its class", () => {
    expect(ruleOf([{ ...conducting(1, 0.9), state: "open" }])).toEqual(
      ruleOf([conducting(1, law.oxide)]),
    );
  });
});
