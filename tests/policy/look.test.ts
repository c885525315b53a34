import { expect, test } from "vitest";
import type { BeliefPoint } from "../../src/policy/contact-belief.ts";
import { laidOut, PolicyShelf, weighConnector } from "../../src/policy/decide-pool.ts";
import { cheapest, heldConnector, stepCosts } from "../../src/policy/held-connector.ts";
import { afterLook } from "../../src/policy/look.ts";
import { law, prices } from "./sample-law.ts";

const growth = { kind: "log", rate: 0.08 } as const;
const point = (state: BeliefPoint["state"], weight: number, ohms = 0.5): BeliefPoint => ({
  ...{ state, oxide: law.oxide, growth, level: Math.log(ohms), weight },
});
/** Open with 0.6, of which cleaning mends a fifth; else sound. */
const belief = [
  point("conducts", 0.4),
  point("open", 0.6 * law.mendable),
  point("open-for-good", 0.6 * (1 - law.mendable)),
];
const weightOf = (of: readonly BeliefPoint[], state: BeliefPoint["state"]): number =>
  of.reduce((sum, each) => sum + (each.state === state ? each.weight : 0), 0);

test("a look mends half of what is open, and all that a cleaning would have mended", () => {
  const after = afterLook(belief, law);
  // Unplugged and plugged again, half of all breaks stay (`stays_reseated`).
  expect(weightOf(after, "conducts")).toBeCloseTo(0.4 + 0.3, 12);
  expect(weightOf(after, "open")).toBeCloseTo(0, 12);
  expect(weightOf(after, "open-for-good")).toBeCloseTo(0.3, 12);
});

test("what a look costs is a tree of two branches, and what follows one in vain is chosen there", () => {
  const shelf = new PolicyShelf(
    1,
    { discountRate: 0.03, years: 5 },
    { lostLaneWeek: 38, lossChance: 0.25, intermittentLoss: 0.3 },
  );
  const reading = {
    volts: () => 0,
    noise: 0.02,
    badShare: 0.3,
    misread: 0.003,
    emf: 5,
    price: 0.2,
  };
  const connector = {
    ...{ kind: { name: "pod", law, contacts: 1, prices }, ageWeeks: 0, stage: "first" as const },
    contacts: [{ circuit: "1", belief, excess: 0, reading, levelBehind: () => 0 }],
  };
  const held = laidOut(connector, shelf, { now: () => 1, later: () => 1 });
  const weighed = weighConnector(connector, held, { contact: 0, price: 3 });
  const at = (of: readonly BeliefPoint[]) => {
    const contact = { ...held.contacts[0]!, belief: of };
    return stepCosts(heldConnector([contact], 0, prices));
  };
  const mended = Math.min(...Object.values(at([point("conducts", 1)])));
  // Bayes by hand: 0.3 of 1 is mended, so of the other 0.7 sound are 0.4 and broken are 0.3.
  const left = at([point("conducts", 4 / 7), point("open-for-good", 3 / 7)]);
  expect(weighed.action).toBe("look");
  expect(weighed.look!.cost).toBeCloseTo(
    3 + 0.3 * mended + 0.7 * Math.min(...Object.values(left)),
    6,
  );
  expect(weighed.look!.inVain).toBe(cheapest(left));
});
