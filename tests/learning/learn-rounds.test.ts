import { expect, test } from "vitest";
import type { LearntNumber } from "../../src/learning/learn-pool.ts";
import { learnRounds } from "../../src/learning/learn-rounds.ts";
import { tabledWalk } from "../../src/learning/tabled-walk.ts";
import { drawnPool, drawnWalks, type Nature, usual } from "./drawn-walks.ts";

const pool = drawnPool();
const WALKS = 12;
/** What the pool file's own numbers count for. */
const WORTH = 5;

const learnt = async (nature: Nature, seed: number): Promise<readonly LearntNumber[]> => {
  const walks = drawnWalks(pool, nature, WALKS, seed).map((own) => tabledWalk(pool, own));
  const found = await learnRounds(pool, WALKS, async (by) => walks.map((table) => table(by)));
  return found.numbers;
};

const truthOf = (nature: Nature): ReadonlyMap<string, number> =>
  new Map([
    ["class harness: contaminated", nature.contaminated.harness],
    ["class plate: contaminated", nature.contaminated.plate],
    ["class harness: fouled", nature.fouled.harness],
    ["class plate: fouled", nature.fouled.plate],
    ["class pod: fouled", nature.fouled.pod],
    ["model.open_per_fouled", nature.openPerFouled],
    ["model.misread", nature.misread],
    ["meter deck: noise", nature.noise],
    ["contact.sound.median_ohms", nature.soundOhms],
    ["contact.fouled[0].median_ohms", nature.filmOhms],
  ]);

/** Of walks that are so and five that are as the file says: what a proposal is an estimate of. */
const blended = (nature: Nature, { key, unit, now }: LearntNumber): number => {
  const true_ = truthOf(nature).get(key)!;
  const mean = (a: number, b: number): number => (WALKS * a + WORTH * b) / (WALKS + WORTH);
  return unit === "" ? mean(true_, now) : Math.exp(mean(Math.log(true_), Math.log(now)));
};

const covers = ({ low, high }: LearntNumber, value: number): boolean =>
  low <= value && value <= high;

/** Of ten 90 % intervals seven or more cover in 99 of 100 cases (binomial). */
const MOST = 7;

test("of a pool that is as its file says, intervals cover what is so", async () => {
  const numbers = await learnt(usual, 1);
  expect(numbers).toHaveLength(10);
  const covering = numbers.filter((one) => covers(one, truthOf(usual).get(one.key)!));
  expect(covering.length).toBeGreaterThanOrEqual(MOST);
}, 180_000);

test.each([
  ["contacts are fouled", { ...usual, fouled: { harness: 0.03, plate: 0.06, pod: 0.36 } }],
  ["the meter is noisy", { ...usual, noise: 0.06 }],
] as const)(
  "where %s three times as much, the proposal goes there by its walks' weight",
  async (_, nature) => {
    const numbers = await learnt(nature, 1);
    const covering = numbers.filter((one) => covers(one, blended(nature, one)));
    expect(covering.length).toBeGreaterThanOrEqual(MOST);
    const changed = numbers.filter(
      ({ key }) => truthOf(nature).get(key) !== truthOf(usual).get(key),
    );
    // All of them move towards what is so, and the file's value of at least one can't stand.
    for (const { proposed, now } of changed) expect(proposed).toBeGreaterThan(now);
    expect(changed.some((one) => !covers(one, one.now))).toBe(true);
  },
  180_000,
);

test("four walks teach nothing", async () => {
  await expect(learnRounds(pool, 4, async () => [])).rejects.toThrow("from 5 on");
});
