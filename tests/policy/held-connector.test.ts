import { describe, expect, test } from "vitest";
import type { BeliefPoint } from "../../src/policy/contact-belief.ts";
import type { HeldContact, PointCosts } from "../../src/policy/contact-costs.ts";
import {
  cheapest,
  focusedOn,
  type HeldConnector,
  stepCosts,
  weightsOf,
} from "../../src/policy/held-connector.ts";
import { type NextReading, readAgainCost } from "../../src/policy/read-again.ts";

const point = (weight: number, changed: Partial<BeliefPoint> = {}): BeliefPoint => ({
  ...({ state: "conducts", oxide: 0.3, level: 0, weight } as const),
  growth: { kind: "flat", rate: 0 },
  ...changed,
});
/** What each step costs each point, by shares of the price: the even one, and the whole. */
const costs = (
  wait: readonly (readonly number[])[],
  clean: readonly (readonly number[])[],
  replace: readonly (readonly number[])[],
): PointCosts => {
  const rows = (of: readonly (readonly number[])[]) => of.map((row) => Float64Array.from(row));
  return { wait: rows(wait), clean: rows(clean), replace: rows(replace) };
};
const contact = (belief: readonly BeliefPoint[]): HeldContact =>
  ({ belief, excess: 0 }) as unknown as HeldContact;

/** Two contacts: the first of two points, a quarter and three; the second of one. */
const held: HeldConnector = {
  contacts: [contact([point(0.25), point(0.75)]), contact([point(1)])],
  costs: [
    costs(
      [
        [4, 8],
        [20, 40],
      ],
      [
        [2, 2],
        [12, 16],
      ],
      [
        [1, 1],
        [8, 8],
      ],
    ),
    costs([[3], [5]], [[4], [1]], [[2], [0]]),
  ],
  prices: { wait: 0, clean: 10, replace: 50 },
};

// By hand. Waiting, even shares: 0.25 x 4 + 0.75 x 8 = 7, and 3: 10. At the whole price the first
// waits for 0.25 x 20 + 0.75 x 40 = 35 and is cleaned for 0.25 x 12 + 0.75 x 16 = 15: a gain of 20, less
// its price 10; the second gains 5 - 1 = 4. Replacing: 35 - 8 = 27 less 50.
test("what each step costs: waiting less what the contact gains that gains most", () => {
  expect(stepCosts(held)).toEqual({ wait: 10, clean: 10 - (20 - 10), replace: 10 - (27 - 50) });
  expect(cheapest(stepCosts(held))).toBe("clean");
});

test("the second contact drives where the first gains less", () => {
  const sound = [Float64Array.of(1, 0), Float64Array.of(1)];
  // 20 - 12 = 8 of the first; were it the second's 4 alone, no more.
  expect(stepCosts(held, sound).clean).toBe(4 + 3 - (8 - 10));
  const other = { ...held, costs: [held.costs[0]!, costs([[3], [50]], [[4], [1]], [[2], [0]])] };
  expect(stepCosts(other).clean).toBe(10 - (49 - 10));
});

test("of equal costs the first step is taken", () => {
  expect(cheapest({ wait: 1, clean: 1, replace: 1 })).toBe("wait");
  expect(cheapest({ wait: 2, clean: 1, replace: 1 })).toBe("clean");
  expect(cheapest({ wait: 2, clean: 1, replace: 0.5 })).toBe("replace");
});

test("weights are the belief's", () => {
  expect([...weightsOf([point(0.25), point(0.75)])]).toEqual([0.25, 0.75]);
});

test("focused on a contact, it stands first and the others are what they are on average", () => {
  for (const which of [0, 1]) {
    const focused = focusedOn(held, which);
    expect(focused.contacts[0]).toBe(held.contacts[which]);
    expect(focused.costs[0]).toBe(held.costs[which]);
    expect(stepCosts(focused)).toEqual(stepCosts(held));
    expect(focused.contacts[1]!.belief).toHaveLength(1);
    expect(focused.contacts[1]!.belief[0]!.weight).toBe(1);
  }
  expect([...focusedOn(held, 1).costs[1]!.clean[1]!]).toEqual([15]);
});

describe("reading again", () => {
  /** One contact: sound, or bad; waiting with the bad one is dear, cleaning it is not. */
  const one = (belief: readonly BeliefPoint[], own: PointCosts): HeldConnector => ({
    contacts: [contact(belief)],
    costs: [own],
    prices: { wait: 0, clean: 10, replace: 50 },
  });
  const reading: NextReading = {
    volts: (level) => (level === Number.NEGATIVE_INFINITY ? 4.98 : 4.98 - level),
    ...{ noise: 0.001, badShare: 0.25, misread: 0, emf: 5, price: 0.5 },
  };
  const far = [point(0.8), point(0.2, { level: 2 })];
  const bad = costs([[0, 100]], [[5, 20]], [[0, 0]]);

  // By hand: what reads 4.98 is surely sound, what reads 2.98 surely bad: 0.8 x 0 + 0.2 x (20 + 10).
  test("told apart for certain, each is then treated as it is", () => {
    expect(readAgainCost(one(far, bad), 0, reading)).toBeCloseTo(0.5 + 0.2 * 30, 9);
  });

  // By hand: of readings misread with 0.1 each is as likely in every one of the 138 bins of 0.04 V up to
  // 1.1 times 5 V: there bad is believed with 0.2, where waiting costs 20, cleaning 0.8 x 5 + 4 + 10 = 18.
  test("a misread value says nothing but what was believed before", () => {
    const bins = 138;
    const own = (weight: number, other: number, least: number): number => {
      // In the bin where the point's own readings fall; noise stays within it.
      const chance = weight * (0.9 + 0.1 / bins) + (other * 0.1) / bins;
      return chance * least;
    };
    const inSound = (0.2 * 0.1) / bins / (0.8 * (0.9 + 0.1 / bins) + (0.2 * 0.1) / bins);
    const inBad = (0.2 * (0.9 + 0.1 / bins)) / (0.2 * (0.9 + 0.1 / bins) + (0.8 * 0.1) / bins);
    const expected =
      own(0.8, 0.2, 100 * inSound) +
      own(0.2, 0.8, 10 + 20 * inBad + 5 * (1 - inBad)) +
      ((0.1 * (bins - 2)) / bins) * 18;
    const exact = { ...reading, misread: 0.1 };
    expect(readAgainCost(one(far, bad), 0, exact)).toBeCloseTo(0.5 + expected, 9);
  });

  // By hand: open reads 0 as does one time in four what comes and goes; else that reads as sound does.
  test("what is open reads nothing, what comes and goes now and then", () => {
    const states = ["conducts", "open", "open-for-good", "intermittent", "loose-for-good"] as const;
    const belief = states.map((state) => point(0.2, { state }));
    const own = costs([[0, 100, 100, 40, 40]], [[5, 0, 60, 0, 60]], [[0, 0, 0, 0, 0]]);
    // At 4.98: sound 0.2, loose 0.15 each: waiting 12, cleaning 0.2 x 5 + 0.15 x 60 + 5 = 15, replacing 25.
    // At 0: open 0.2 each, loose 0.05 each: 44, 15 + 5 = 20 cleaning, replacing 25.
    const good = Math.min(12, 1 + 9 + 0.5 * 10, 0.5 * 50);
    const none = Math.min(44, 12 + 3 + 0.5 * 10, 0.5 * 50);
    expect(readAgainCost(one(belief, own), 0, reading)).toBeCloseTo(0.5 + good + none, 9);
  });

  // By hand: two contacts, the first read again; the other stays as it is believed to be.
  test("the other contacts stay as they are", () => {
    const two: HeldConnector = {
      contacts: [contact(far), contact([point(0.5), point(0.5)])],
      costs: [bad, costs([[6, 8]], [[1, 1]], [[0, 0]])],
      prices: { wait: 0, clean: 10, replace: 50 },
    };
    // Sound: waiting 0 + 7, cleaning 7 - (6 - 10) = 11. Bad: 107, cleaning 107 - (80 - 10) = 37.
    expect(readAgainCost(two, 0, reading)).toBeCloseTo(0.5 + 0.8 * 7 + 0.2 * 37, 9);
    // The second read again: both of its points read alike, so nothing is learnt.
    const before = stepCosts(two);
    expect(readAgainCost(two, 1, reading)).toBeCloseTo(0.5 + before[cheapest(before)], 9);
  });
});
