import { expect, test } from "vitest";
import type { BeliefPoint } from "../../src/policy/contact-belief.ts";
import {
  type ConnectorToDecide,
  laidOut,
  PolicyShelf,
  weighConnector,
} from "../../src/policy/decide-pool.ts";
import { cheapest, stepCosts } from "../../src/policy/held-connector.ts";
import { readAgainCost } from "../../src/policy/read-again.ts";
import { law, prices } from "./sample-law.ts";

const volts = (level: number): number => 5000 / (1003 + Math.exp(level));
const levelBehind = (shown: number): number => Math.log(Math.max(1e-3, 5000 / shown - 1003));
const reading = { volts, noise: 0.02, badShare: 0.3, misread: 0.003, emf: 5, price: 0.2 };
const shelf = new PolicyShelf(
  1,
  { discountRate: 0.03, years: 5 },
  { lostLaneWeek: 38, lossChance: 0.25, intermittentLoss: 0.3 },
);
const growth = { kind: "log", rate: 0.08 } as const;
const at = (ohms: number, weight: number, oxide = 0): BeliefPoint => ({
  state: "conducts",
  oxide,
  growth,
  level: Math.log(ohms),
  weight,
});
const usual = { now: () => 1, later: () => 1 };
const connector = (...beliefs: readonly (readonly BeliefPoint[])[]): ConnectorToDecide => ({
  kind: { name: "pod", law, contacts: beliefs.length, prices },
  ageWeeks: 0,
  stage: "first",
  contacts: beliefs.map((belief, k) => ({
    circuit: `circuit ${k}`,
    belief,
    excess: 0,
    reading,
    levelBehind,
  })),
});
const weigh = (one: ConnectorToDecide) => weighConnector(one, laidOut(one, shelf, usual));

test("a sound contact is left, a filmy one cleaned, one whose film is metal replaced", () => {
  expect(weigh(connector([at(0.5, 1)])).action).toBe("wait");
  expect(weigh(connector([at(80, 1)])).action).toBe("clean");
  expect(weigh(connector([at(80, 1, 1)])).action).toBe("replace");
});

test("of three contacts the bad one decides, and all three alike decide the same", () => {
  expect(weigh(connector([at(0.5, 1)], [at(80, 1)], [at(0.5, 1)])).action).toBe("clean");
  expect(weigh(connector([at(80, 1)], [at(80, 1)], [at(80, 1)])).action).toBe("clean");
  expect(weigh(connector([at(0.5, 1)], [at(0.5, 1)], [at(0.5, 1)])).action).toBe("wait");
});

test("what is decided on a reading and the rule pinned to the wall agree", () => {
  const { rule } = weigh(connector([at(20, 1, 0.3)]));
  expect(rule.cleanUnder).not.toBeNull();
  const turn = Math.exp(levelBehind(rule.cleanUnder!));
  const acts = (ohms: number): string => weigh(connector([at(ohms, 1, 0.3)])).action;
  expect(acts(turn * 0.6)).toBe("wait");
  expect(acts(turn * 1.7)).not.toBe("wait");
});

// By definition: with one state left there is nothing to learn, and nothing is worth more than to
// know the state itself.
test("reading again costs its price where all is known, and saves no more than knowing all", () => {
  const sure = connector([at(80, 1)]);
  const held = laidOut(sure, shelf, usual);
  expect(readAgainCost(held, 0, reading)).toBeCloseTo(0.2 + stepCosts(held).clean, 6);
  const belief = [at(0.5, 0.5), at(80, 0.3), at(80, 0.2, 1)];
  const doubt = laidOut(connector(belief), shelf, usual);
  const again = readAgainCost(doubt, 0, reading);
  const known = belief.reduce((sum, point) => {
    const costs = stepCosts(laidOut(connector([{ ...point, weight: 1 }]), shelf, usual));
    return sum + point.weight * costs[cheapest(costs)];
  }, 0);
  expect(again).toBeGreaterThan(0.2 + known);
  const costs = stepCosts(doubt);
  expect(again).toBeLessThan(costs[cheapest(costs)]);
});

// One odd value: sound with nine in ten, else far over the limit. A reading tells, and costs less
// than a needless cleaning or a week with a low path.
test("one odd value is read again before anything is cleaned", () => {
  expect(weigh(connector([at(0.5, 0.7), at(120, 0.3)])).action).toBe("read-again");
});
