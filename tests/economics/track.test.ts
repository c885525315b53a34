import { describe, expect, test } from "vitest";
import { Tracks } from "../../src/economics/track.ts";
import { law, never } from "../policy/sample-law.ts";
import { group } from "./hand-made.ts";

/** Contacts to which nothing ever happens, in bodies of memoryless life, 300 weeks in the mean. */
const still = {
  ...law,
  modes: [{ kind: "flat" as const, rate: 0, weight: 1 }],
  rates: { fouled: 0, open: 0, intermittent: 0, mends: 0 },
};
const calendar = { ...never, cleanEvery: 26 };
const quiet = group([1], { law: still });
const numbers = (values: Float64Array): readonly number[] => [...values];
const near = (values: Float64Array, expected: readonly number[]): void => {
  expect(values).toHaveLength(expected.length);
  for (const [k, each] of expected.entries())
    expect(values[k], `quarter ${k}`).toBeCloseTo(each, 9);
};

// A year counts as 52 weeks here: walk k is quarter k's first day, and walk 0 is apart in `now`.
describe("two years in quarters, a walk every 13 weeks", () => {
  const tracks = new Tracks(13, 8);

  test("cleanings by the calendar fall in the quarters of their walks, the first apart", () => {
    const kept = tracks.keep(quiet, { first: "clean", rule: calendar });
    expect(kept.isNew).toBe(false);
    expect(kept.now.cleanings).toBeCloseTo(1, 12);
    near(kept.cleanings, [0, 0, 1, 0, 1, 0, 1, 0]);
  });

  test("a body that broke is replaced at the next walk, and is open for half of the time till then", () => {
    const broken = -Math.expm1(-13 / 300);
    const kept = tracks.keep(quiet, { first: "wait", rule: never });
    near(kept.replacements, [0, ...Array(7).fill(broken)]);
    expect(kept.now).toEqual({ cleanings: 0, replacements: 0 });
    near(kept.trouble[0]!.open, Array(8).fill(broken / 2));
    near(kept.trouble[0]!.low, Array(8).fill(0));
    near(kept.trouble[0]!.intermittent, Array(8).fill(0));
  });
});

// Walks at 26, 52, 78 weeks begin quarters 2, 4, 6; what happens between two is spread over both.
test("walks further apart than quarters", () => {
  const broken = -Math.expm1(-26 / 300);
  const kept = new Tracks(26, 8).keep(quiet, { first: "wait", rule: never });
  near(kept.replacements, [0, 0, broken, 0, broken, 0, broken, 0]);
  near(kept.trouble[0]!.open, Array(8).fill(broken / 2));
});

test("a horizon that ends between two walks counts no work after its end", () => {
  const kept = new Tracks(10, 1).keep(quiet, { first: "wait", rule: { ...never, cleanEvery: 10 } });
  near(kept.cleanings, [1]);
});

describe("one way is followed once", () => {
  const tracks = new Tracks(13, 4);
  const keep = (first: "wait" | "clean", rule: typeof never | null = never) =>
    tracks.keep(quiet, { first, rule });

  test("the same keeping of the same group is the same track", () => {
    expect(keep("wait")).toBe(keep("wait"));
    expect(keep("clean")).not.toBe(keep("wait"));
    expect(keep("wait", null)).not.toBe(keep("wait"));
    const other = { ...quiet };
    expect(tracks.keep(other, { first: "wait", rule: never })).not.toBe(keep("wait"));
  });

  test("without a rule of the option's each contact is kept by its own", () => {
    const own = group([1], {
      law: still,
      contacts: quiet.contacts.map((each) => ({ ...each, rule: { ...never, cleanEvery: 13 } })),
    });
    near(tracks.keep(own, { first: "wait", rule: null }).cleanings, [0, 1, 1, 1]);
    near(tracks.keep(own, { first: "wait", rule: never }).cleanings, [0, 0, 0, 0]);
  });

  test("groups of one kind share what is followed of a new connector, another kind does not", () => {
    const fresh = tracks.replaceNow(quiet);
    expect(fresh).toMatchObject({ isNew: true, now: { cleanings: 0, replacements: 1 } });
    expect(tracks.keep(quiet, { first: "replace", rule: null })).toBe(fresh);
    expect(tracks.replaceNow(group([2], { law: still }))).toBe(fresh);
    expect(tracks.replaceNow({ ...quiet, kind: "pod 1" })).not.toBe(fresh);
    const twice = quiet.contacts.map((each) => ({ ...each, copies: 2 }));
    expect(tracks.replaceNow({ ...quiet, contacts: twice })).not.toBe(fresh);
  });

  test("a new connector begins at its floor, whatever stood there, and is kept as new ones are", () => {
    const contacts = quiet.contacts.map((each) => ({
      ...each,
      rule: never,
      ruleWhenNew: { ...never, cleanEvery: 13 },
      beliefs: each.beliefs.map((one) => ({
        ...one,
        belief: one.belief.map((point) => ({ ...point, state: "open-for-good" as const })),
      })),
    }));
    const dead = group([3], { law: still, kind: "dead 1", contacts });
    const standing = tracks.keep(dead, { first: "wait", rule: null });
    expect(standing.trouble[0]!.open[0]).toBeGreaterThan(0.95);
    const fresh = tracks.replaceNow(dead);
    expect(fresh.trouble[0]!.open[0]).toBeLessThan(0.05);
    near(fresh.cleanings, [0, 1, 1, 1]);
  });
});

test("followed roughly it is much the same", () => {
  const rule = { ...never, cleanUnder: 4.95, replaceAfter: 1 };
  const grows = group([1]);
  const at = (roughly: boolean) =>
    numbers(new Tracks(4, 8, roughly).keep(grows, { first: "wait", rule }).cleanings);
  const [finely, coarsely] = [at(false), at(true)];
  const sum = (of: readonly number[]) => of.reduce((all, each) => all + each, 0);
  expect(sum(finely)).toBeGreaterThan(0.5);
  expect(Math.abs(sum(coarsely) / sum(finely) - 1)).toBeLessThan(0.1);
  expect(coarsely).not.toEqual(finely);
});
