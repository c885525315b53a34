import { expect, test } from "vitest";
import { wearOf } from "../../src/economics/option-wear.ts";
import { group, pool, track } from "./hand-made.ts";

const numbers = (values: Float64Array): readonly number[] => [...values];

test("branches are averaged by their shares", () => {
  const wear = wearOf(
    pool,
    group([2]),
    [
      { share: 0.75, track: track(2, { cleanings: [4, 0], low: [1, 0] }), bought: null },
      {
        share: 0.25,
        track: track(2, {
          cleanings: [8, 4],
          replacements: [0, 1],
          open: [0, 1],
          intermittent: [1, 0],
        }),
        bought: null,
      },
    ],
    2,
  );
  expect(numbers(wear.cleanings)).toEqual([5, 1]);
  expect(numbers(wear.replacements)).toEqual([0, 0.25]);
  const [contact] = wear.contacts;
  expect(numbers(contact!.low)).toEqual([0.75, 0]);
  expect(numbers(contact!.open)).toEqual([0, 0.25]);
  expect(numbers(contact!.intermittent)).toEqual([0.25, 0]);
  // Lane 2's pad is the second circuit of the pool.
  expect([...contact!.circuits]).toEqual([1]);
});

test("what is bought after a year goes by its own track from then on, from its beginning", () => {
  const bought = { track: track(8, { cleanings: [7, 8] }), afterYear: 1 };
  const old = track(8, { cleanings: [1, 2, 3, 4, 5, 6, 7, 8] });
  const wear = wearOf(pool, group([1]), [{ share: 1, track: old, bought }], 8);
  expect(numbers(wear.cleanings)).toEqual([1, 2, 3, 4, 7, 8, 0, 0]);
});

test("a horizon longer than the track goes on with its last two years", () => {
  const years = track(12, { cleanings: [9, 9, 9, 9, 1, 2, 3, 4, 5, 6, 7, 8] });
  const wear = wearOf(pool, group([1]), [{ share: 1, track: years, bought: null }], 22);
  expect(numbers(wear.cleanings).slice(8)).toEqual([5, 6, 7, 8, 1, 2, 3, 4, 5, 6, 7, 8, 1, 2]);
  const short = track(3, { cleanings: [1, 2, 3] });
  const again = wearOf(pool, group([1]), [{ share: 1, track: short, bought: null }], 7);
  expect(numbers(again.cleanings)).toEqual([1, 2, 3, 1, 2, 3, 1]);
});

test("what was reckoned for a longer horizon is not reckoned again, for a longer one it is", () => {
  const branches = [{ share: 1, track: track(8, { cleanings: [1] }), bought: null }];
  const long = wearOf(pool, group([1]), branches, 4);
  expect(wearOf(pool, group([1]), branches, 4)).toBe(long);
  expect(wearOf(pool, group([1]), branches, 2)).toBe(long);
  expect(wearOf(pool, group([1]), branches, 6).cleanings).toHaveLength(6);
});
