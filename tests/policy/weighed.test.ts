import { describe, expect, test } from "vitest";
import { byStep, type Step, steps } from "../../src/domain/courses.ts";
import type { BeliefPoint } from "../../src/policy/contact-belief.ts";
import {
  type ConnectorToDecide,
  laidOut,
  PolicyShelf,
  ruleFor,
  weighConnector,
} from "../../src/policy/decide-pool.ts";
import { cheapest, focusedOn, stepCosts } from "../../src/policy/held-connector.ts";
import { lookFollowed } from "../../src/policy/look.ts";
import { readAgainCost } from "../../src/policy/read-again.ts";
import { prices, law as sample } from "./sample-law.ts";

const law = { ...sample, modes: [{ kind: "log", rate: 0.08, weight: 1 }] } as const;
const kind = { name: "pod", law, contacts: 1, prices };
const loss = { lostLaneWeek: 38, lossChance: 0.25, intermittentLoss: 0.3 };
/** A shelf anew: eight weeks from walk to walk, a year ahead. */
const shelf = (): PolicyShelf => new PolicyShelf(8, { discountRate: 0.03, years: 1 }, loss);

const reading = {
  volts: (level: number) => 5000 / (1003 + Math.exp(level)),
  ...{ noise: 0.02, badShare: 0.3, misread: 0.003, emf: 5, price: 0.2 },
};
const levelBehind = (shown: number): number => Math.log(Math.max(1e-3, 5000 / shown - 1003));
const growth = { kind: "log", rate: 0.08 } as const;
const at = (ohms: number, weight: number, changed: Partial<BeliefPoint> = {}): BeliefPoint => ({
  ...({ state: "conducts", oxide: 0, growth, level: Math.log(ohms), weight } as const),
  ...changed,
});
const connector = (...beliefs: readonly (readonly BeliefPoint[])[]): ConnectorToDecide => ({
  kind: { ...kind, contacts: beliefs.length },
  ageWeeks: 0,
  stage: "first",
  contacts: beliefs.map((belief, k) => ({
    ...{ circuit: `circuit ${k}`, belief, excess: 0, reading, levelBehind },
  })),
});
const usual = { now: () => 1, later: () => 1 };
const laid = (one: ConnectorToDecide) => laidOut(one, shelf(), usual);

const sound = [at(0.5, 1)];
const cases: readonly (readonly [string, readonly (readonly BeliefPoint[])[]])[] = [
  ["one sound", [sound]],
  ["one filmy", [[at(80, 1)]]],
  ["one of metal", [[at(80, 1, { oxide: 1 })]]],
  ["one in doubt", [[at(0.5, 0.7), at(120, 0.3)]]],
  ["one hardly in doubt", [[at(0.5, 0.9999), at(120, 0.0001)]]],
  ["one open", [[at(0.5, 0.3), at(1, 0.7, { state: "open" })]]],
  ["the second bad", [sound, [at(60, 0.8), at(0.5, 0.2)], sound]],
  ["two bad", [[at(40, 1)], [at(200, 0.5, { oxide: 0.9 }), at(3, 0.5)]]],
  ["a weightless point", [[at(80, 1), at(5, 0)]]],
];

// By definition: each part of what is said of a connector, from what its steps cost.
describe.each(cases)("%s", (_, beliefs) => {
  test("the worst contact, the chances of each step and the action", () => {
    const one = connector(...beliefs);
    const held = laid(one);
    const weighed = weighConnector(one, held);
    const costs = stepCosts(held);
    const best = cheapest(costs);
    const gains = beliefs.map((belief, c) => {
      const mean = (step: Step): number =>
        belief.reduce((sum, { weight }, k) => sum + weight * held.costs[c]![step].at(-1)![k]!, 0);
      return mean("wait") - Math.min(mean("clean"), mean("replace"));
    });
    expect(weighed.worst).toBe(gains.indexOf(Math.max(...gains)));
    const worst = beliefs[weighed.worst]!;
    const chances = byStep(() => 0);
    for (const [k, { weight }] of worst.entries()) {
      const certain = beliefs.map((belief, c) =>
        Float64Array.from(belief, (point, j) =>
          c === weighed.worst ? Number(j === k) : point.weight,
        ),
      );
      chances[cheapest(stepCosts(held, certain))] += weight;
    }
    for (const step of steps) expect(weighed.chances[step]).toBeCloseTo(chances[step], 9);
    const again =
      1 - chances[best] < 0.01
        ? reading.price + costs[best]
        : readAgainCost(focusedOn(held, weighed.worst), 0, reading);
    for (const step of steps) expect(weighed.costs[step]).toBe(costs[step]);
    expect(weighed.costs["read-again"]).toBeCloseTo(again, 9);
    expect(weighed.action).toBe(again < costs[best] ? "read-again" : best);
    const likeliest = Math.max(...steps.map((step) => chances[step]));
    expect(weighed.sure).toBeCloseTo(
      weighed.action === "read-again" ? likeliest : chances[best],
      9,
    );
    expect(weighed.look).toBeNull();
  });
});

test("each action comes up among these", () => {
  const actions = cases.map(([, beliefs]) => {
    const one = connector(...beliefs);
    return weighConnector(one, laid(one)).action;
  });
  expect(new Set(actions)).toEqual(new Set(["wait", "clean", "replace", "read-again"]));
});

describe("the rule", () => {
  test("is the worst contact's, its others sound", () => {
    const one = connector([at(0.5, 1)], [at(60, 1, { oxide: 0.3 })]);
    const held = laid(one);
    const { rule, worst } = weighConnector(one, held);
    expect(worst).toBe(1);
    expect(rule).toEqual(ruleFor(one, held, 1));
    // The other's state now is none of the rule's business.
    const bad = connector([at(30, 1, { oxide: 0.3 })], [at(60, 1, { oxide: 0.3 })]);
    expect(ruleFor(bad, laid(bad), 1)).toEqual(rule);
  });

  test("is read off the connector as it usually is", () => {
    const one = connector([at(60, 1, { oxide: 0.3 })]);
    const later = connector([at(60, 1, { oxide: 0.9 })]);
    const usually = { connector: later, held: laid(later) };
    expect(weighConnector(one, laid(one), null, usually).rule).toEqual(
      ruleFor(later, usually.held, 0),
    );
  });
});

describe("a look", () => {
  const open = connector([at(0.5, 0.2), at(1, 0.8, { state: "open-for-good" })]);

  test("comes first, costs what its two branches cost, and is sure of what follows one in vain", () => {
    const held = laid(open);
    const weighed = weighConnector(open, held, { contact: 0, price: 3 });
    const look = lookFollowed(held, open, { contact: 0, price: 3 });
    expect([weighed.action, weighed.look!.cost, weighed.look!.inVain]).toEqual([
      ...["look", look.cost, look.inVain],
    ]);
    // Nothing was mended: sound 0.2, broken 0.8 of which three in eight were mended.
    const chances = byStep(() => 0);
    const belief = look.left.contacts[0]!.belief;
    for (const [k, { weight }] of belief.entries())
      chances[
        cheapest(stepCosts(look.left, [Float64Array.from(belief, (_, j) => Number(j === k))]))
      ] += weight;
    expect(weighed.sure).toBeCloseTo(chances[look.inVain], 9);
  });

  test("in vain and left so, the rule cleans no more after one failure", () => {
    const dear = { ...open, kind: { ...kind, prices: { clean: 6, replace: 1e5 } } };
    const weighed = weighConnector(dear, laid(dear), { contact: 0, price: 3 });
    expect(weighed.look!.inVain).toBe("wait");
    expect(weighed.rule).toMatchObject({ replaceAfter: null, leaveAfter: 1 });
    const cheap = weighConnector(open, laid(open), { contact: 0, price: 3 });
    expect(cheap.look!.inVain).not.toBe("wait");
    expect(cheap.rule).toEqual(ruleFor(open, laid(open), 0));
  });

  test("what conducts is not mended by it, and one that is sure mends all that is open", () => {
    const held = laid(connector(sound));
    const least = Math.min(...Object.values(stepCosts(held)));
    const nothing = lookFollowed(held, connector(sound), { contact: 0, price: 3 });
    expect(nothing.cost).toBeCloseTo(3 + least, 9);
    // What cleaning always mends, pulling and pushing home mends too: half of it at least.
    const one = connector([at(1, 1, { state: "open" })]);
    const mending = { ...one, kind: { ...kind, law: { ...law, mendable: 0.4 } } };
    const sure = lookFollowed(laid(mending), mending, { contact: 0, price: 3 });
    const mended = connector([at(0.5, 1, { oxide: law.oxide })]);
    expect(sure.cost).toBeCloseTo(
      3 + Math.min(...Object.values(stepCosts(laid({ ...mended, kind: mending.kind })))),
      9,
    );
  });
});

describe("a shelf of policies", () => {
  test("one for each kind, number of contacts and price, nearer than a tenth the same", () => {
    const own = shelf();
    const policy = own.policyOf(kind, 1);
    expect(own.policyOf(kind, 1.04)).toBe(policy);
    expect(own.policyOf(kind, 0.96)).toBe(policy);
    expect(own.policyOf(kind, 1.2)).not.toBe(policy);
    expect(own.policyOf({ ...kind, name: "plate" }, 1)).not.toBe(policy);
    expect(own.policyOf({ ...kind, contacts: 2 }, 1)).not.toBe(policy);
    expect(policy.byShare.map(({ share }) => share)).toEqual([1]);
    expect(own.policyOf({ ...kind, contacts: 4 }, 1).byShare.map(({ share }) => share)).toEqual([
      0.25, 1,
    ]);
    // Nothing is free: a failure that costs nothing costs a millionth.
    expect(own.policyOf(kind, 0)).toBe(own.policyOf(kind, 1e-7));
  });

  test("its prices are the kind's, its share of work and what a failure costs", () => {
    const [half, whole] = shelf().policyOf({ ...kind, contacts: 2 }, 1).byShare;
    expect(whole!.solved.prices).toMatchObject({
      ...{ clean: 6, replace: 40, lowWeek: 9.5, openWeek: 38 },
    });
    expect(whole!.solved.prices.intermittentWeek).toBeCloseTo(11.4, 12);
    expect(half!.solved.prices).toMatchObject({ clean: 3, replace: 20, openWeek: 38 });
    expect(half!.solved).toBe(half!.solved);
    const typical = shelf().typicalOf({ ...kind, contacts: 2 }, 1);
    expect(typical.prices.clean).toBe(3);
  });

  test("what a failure costs now and later are two policies", () => {
    const held = laidOut(connector(sound), shelf(), { now: () => 2, later: () => 1 });
    const [own] = held.contacts;
    expect(own!.policy.byShare[0]!.solved.prices.openWeek).toBeCloseTo(2 * 38, -1);
    expect(own!.cured.byShare[0]!.solved.prices.openWeek).toBe(38);
  });
});
