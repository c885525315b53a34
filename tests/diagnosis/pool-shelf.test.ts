import { expect, test } from "vitest";
import { shelfOf } from "../../src/diagnosis/pool-shelf.ts";
import { meter, smallPool } from "../reference/builders.ts";

const scaleFor = (load: number | null): number =>
  shelfOf(
    smallPool([1], ["a"], { meters: [{ ...meter("deck", 1000, 0.01), loadOhms: load as never }] }),
  ).tree.scale;

test("an axis is folded at the load of the first meter, where that is not far beyond contacts", () => {
  expect(scaleFor(500)).toBe(500);
  expect(scaleFor(1e7)).toBe(2000);
  // A load that nobody knows: a kilohm.
  expect(scaleFor(null)).toBe(1000);
});

test("a pool's meshes are kept for its next walk, and are no other pool's", () => {
  const [one, other] = [smallPool([1], ["a"]), smallPool([1], ["a"])];
  expect(shelfOf(one)).toBe(shelfOf(one));
  expect(shelfOf(other)).not.toBe(shelfOf(one));
});
