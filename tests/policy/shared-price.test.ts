import { expect, test } from "vitest";
import { expectedAt } from "../../src/policy/carry.ts";
import { contactChain } from "../../src/policy/contact-chain.ts";
import type { StepPrices } from "../../src/policy/contact-law.ts";
import { drivenGain, sharesFor, waitingCost } from "../../src/policy/shared-price.ts";
import { cleaned, solveChain } from "../../src/policy/solve-chain.ts";
import { type Chooser, jointConnector } from "./joint-connector.ts";
import { law as sample } from "./sample-law.ts";

// By hand: the first saves 20 - 9 = 11, the second 5 - 6 = -1; of a price of 8 that leaves 3.
test("the contact that gains most pays the whole price", () => {
  const contacts = [
    { wait: [4, 20], act: [1, 9] },
    { wait: [3, 5], act: [4, 6] },
  ];
  expect(drivenGain(contacts, 8)).toBe(3);
  expect(waitingCost(contacts)).toBe(7);
});

const weeks = 4;
const law = {
  ...sample,
  modes: [{ kind: "log", rate: 0.09, weight: 1 }],
  rates: { fouled: 0.001, open: 0.0002, intermittent: 0.0002, mends: 0.01 },
  life: { shape: 1, scale: 500 },
} as const;
const chain = contactChain(law, weeks);

/** Chooses as the policy does where every contact's state is known. */
function driven(prices: readonly StepPrices[]): Chooser {
  const horizon = { discountRate: 0.03, years: 10 };
  const values = prices.map((own) => {
    const solved = solveChain(law, own, weeks, horizon);
    const after = (from: Float64Array): Float64Array => {
      const out = new Float64Array(from.length);
      cleaned(solved.chain, from, out);
      return out;
    };
    const fresh = expectedAt(solved.chain.fresh, solved.wait, 0);
    return { wait: solved.wait, first: after(solved.second), second: after(solved.wait), fresh };
  });
  const { clean, replace } = prices[0]!;
  return (states, stage) => {
    const gain = (price: number, act: (c: number, s: number) => number): number =>
      drivenGain(
        states.map((s, c) => ({ wait: [values[c]!.wait[s]!], act: [act(c, s)] })),
        price,
      );
    const cleaning = gain(clean, (c, s) => values[c]![stage][s]!);
    const replacing = gain(replace, (c) => values[c]!.fresh);
    if (Math.max(cleaning, replacing) <= 0) return 0;
    return cleaning >= replacing ? 1 : 2;
  };
}

// The exact answer is the joint decision process of two contacts, solved over both states at once.
test.each([
  ["an outlet of two lanes", { clean: 13.3, replace: 320 }, [1, 1], 1.03],
  ["a plate whose second device is a fall-back", { clean: 8, replace: 147 }, [1, 0.1], 1.03],
  ["a cheap lane", { clean: 8, replace: 147 }, [0.1, 0.05], 1.06],
])(
  "against the joint optimum: %s",
  (_, works, roles, most) => {
    expect(sharesFor(2)).toEqual([0.5, 1]);
    const prices = roles.map((role) => ({
      ...works,
      lowWeek: 9.6 * role,
      openWeek: 38.5 * role,
      intermittentWeek: 11.5 * role,
    }));
    const chains = [chain, chain];
    const optimum = jointConnector(chains, prices, 0.03, 195, null).fresh;
    const cost = jointConnector(chains, prices, 0.03, 195, driven(prices)).fresh;
    expect(cost / optimum).toBeGreaterThan(0.9999);
    expect(cost / optimum).toBeLessThan(most);
  },
  120_000,
);
