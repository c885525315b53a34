import { describe, expect, test } from "vitest";
import { contactChain, ofKind } from "../../src/policy/contact-chain.ts";
import type { ContactLaw, GrowthMode } from "../../src/policy/contact-law.ts";
import { followRule } from "../../src/policy/follow-rule.ts";
import { levelGrid } from "../../src/policy/level-grid.ts";
import type { ReadingRule } from "../../src/policy/reading-rule.ts";
import { never, law as sample, view } from "./sample-law.ts";
import { type SlowAmounts, slowFollow } from "./slow-follow.ts";

const WEEKS = 2;
const low = Math.log(0.5);
/** Floors and fouled levels lie on nodes of the mode's own grid: it is then exact. */
function lawOf(kind: GrowthMode["kind"]): ContactLaw {
  const mode = { kind, rate: kind === "flat" ? 0 : kind === "log" ? 0.08 : 0.9, weight: 1 };
  const levels = levelGrid({ ...sample, floor: [{ value: low, weight: 1 }] }, mode, WEEKS);
  return {
    ...sample,
    modes: [mode],
    floor: [
      { value: low, weight: 0.7 },
      { value: levels[2]!, weight: 0.3 },
    ],
    fouled: [
      { value: levels[8]!, weight: 0.6 },
      { value: levels[14]!, weight: 0.4 },
    ],
    rates: { fouled: 0.05, open: 0.03, intermittent: 0.04, mends: 0.02 },
    life: { shape: 1, scale: 60 },
  };
}
/** Noise that leaves some readings in doubt at these levels. */
const seen = { ...view, noise: 0.03 };
const log = lawOf("log");

/** Where a contact stands at first, of each class: on the grid of the program, and told slowly. */
function startOf(law: ContactLaw) {
  // By the law anew: what is laid out of one is kept with it.
  const chain = contactChain({ ...law }, WEEKS);
  const block = chain.blocks[0]!;
  const start = new Float64Array(chain.size);
  const { oxide, fresh } = chain.kinds;
  const level = (j: number): number => block.levels[j]!;
  start[ofKind(block, block.start + 10, 0)] = 0.1;
  start[ofKind(block, block.start + 6, fresh)] = 0.4;
  start[ofKind(block, block.start + 12, oxide.length - 1)] = 0.2;
  for (const [k, chance] of [0.05, 0.1, 0.05, 0.1].entries()) start[block.open + k] = chance;
  const conducting = [
    [{ mode: 0, kind: "cured", level: level(10) }, 0.1],
    [{ mode: 0, kind: "film", level: level(6) }, 0.4 * (1 - law.oxide)],
    [{ mode: 0, kind: "oxide", level: level(6) }, 0.4 * law.oxide],
    [{ mode: 0, kind: "oxide", level: level(12) }, 0.2],
    [{ mode: 0, kind: "open", level: 0 }, 0.05],
    [{ mode: 0, kind: "open-for-good", level: 0 }, 0.1],
    [{ mode: 0, kind: "intermittent", level: 0 }, 0.05],
    [{ mode: 0, kind: "loose-for-good", level: 0 }, 0.1],
  ] as const;
  return { chain, start, told: conducting };
}

/** Told once: the same rule is followed in more than one way. */
const slowly = new Map<string, SlowAmounts>();

type First = "clean" | "wait" | "by-reading";

/** Both ways, over the same contacts, each with a rule and a number of copies. */
function both(
  law: ContactLaw,
  rules: readonly (readonly [Partial<ReadingRule>, number])[],
  walks: number,
  first: First,
  roughly = false,
) {
  const { chain, start, told } = startOf(law);
  const contacts = rules.map(([rule, copies]) => ({
    view: seen,
    copies,
    rule: { ...never, ...rule },
  }));
  const amounts = followRule(
    contacts.map((each) => ({ ...each, chain, start: start.slice() })),
    walks,
    first,
    roughly,
  );
  const key = JSON.stringify([law.modes, rules, walks, first]);
  const slow =
    slowly.get(key) ??
    slowFollow(
      contacts.map((each) => ({ ...each, law })),
      WEEKS,
      walks,
      first,
      contacts.map(() => told),
    );
  slowly.set(key, slow);
  return { amounts, slow };
}

function expectAlike({ amounts, slow }: ReturnType<typeof both>): void {
  const close = (own: Float64Array, other: readonly number[], what: string): void => {
    for (const [t, each] of other.entries()) expect(own[t], `${what} ${t}`).toBeCloseTo(each, 9);
  };
  close(amounts.cleanings, slow.cleanings, "cleanings");
  close(amounts.replacements, slow.replacements, "replacements");
  for (const [k, own] of slow.trouble.entries()) {
    close(amounts.trouble[k]!.low, own.low, "low");
    close(amounts.trouble[k]!.open, own.open, "open");
    close(amounts.trouble[k]!.intermittent, own.intermittent, "intermittent");
  }
}

// A list of exact states, every outcome written out, that shares no code with the pass (slow-follow.ts).
const rules: readonly (readonly [string, Partial<ReadingRule>])[] = [
  ["nothing", {}],
  ["clean under", { cleanUnder: 4.985 }],
  ["replace under", { cleanUnder: 4.985, replaceUnder: 4.975 }],
  ["replace after one", { cleanUnder: 4.985, replaceAfter: 1 }],
  ["replace after two", { cleanUnder: 4.985, replaceUnder: 4.96, replaceAfter: 2 }],
  ["replace after three", { cleanUnder: 4.985, replaceAfter: 3 }],
  ["leave after one", { cleanUnder: 4.985, leaveAfter: 1 }],
  ["leave after two", { cleanUnder: 4.985, leaveAfter: 2 }],
  ["leave after three", { cleanUnder: 4.985, leaveAfter: 3 }],
  ["replace at once", { first: "replace", cleanUnder: 4.97 }],
  ["by the calendar", { cleanEvery: 5 }],
  ["by the calendar and by what it reads", { cleanEvery: 6, cleanUnder: 4.97, replaceAfter: 2 }],
];

describe.each(rules)("%s", (_, rule) => {
  test.each(["by-reading", "wait", "clean"] as const)("first %s", (first) => {
    expectAlike(both(log, [[rule, 1]], 4, first));
  });
  test("several contacts alike, and roughly", () => {
    expectAlike(both(log, [[rule, 3]], 3, "by-reading"));
    expectAlike(both(log, [[rule, 1]], 3, "by-reading", true));
  });
});

test.each(["flat", "ohm"] as const)("growth %s", (kind) => {
  expectAlike(both(lawOf(kind), [[{ cleanUnder: 4.985, replaceAfter: 2 }, 1]], 4, "by-reading"));
});

test("contacts of one connector that ask differently are worked on together", () => {
  const rule = { cleanUnder: 4.98, replaceAfter: 2 };
  expectAlike(
    both(
      log,
      [
        [rule, 1],
        [{}, 2],
      ],
      3,
      "by-reading",
    ),
  );
  expectAlike(
    both(
      log,
      [
        [{}, 1],
        [rule, 2],
      ],
      3,
      "wait",
    ),
  );
  expectAlike(
    both(
      log,
      [
        [rule, 2],
        [{ first: "replace", cleanUnder: 4.97 }, 1],
      ],
      3,
      "by-reading",
    ),
  );
});
