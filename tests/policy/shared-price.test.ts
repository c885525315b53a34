import { expect, test } from "vitest";
import { sharedCost } from "../../src/policy/shared-price.ts";

test("one contact pays the whole price", () => {
  expect(sharedCost([1], [[7]])).toBe(7);
});

// By hand: slopes per unit of share: 20 and 4 of the first, 6 and 6 of the second. The first takes
// half at 20, the second the other half at 6: 1 + 2 + 10 + 3 = 16.
test("each bit of the price goes to the contact that it costs most", () => {
  const shares = [0, 0.5, 1];
  const costs = [
    [1, 11, 13],
    [2, 5, 8],
  ];
  expect(sharedCost(shares, costs)).toBeCloseTo(16, 12);
});

test("no other shares give a greater sum", () => {
  const costs = (share: number, k: number): number => Math.min(3 + 9 * share, 5 + 2 * share) + k;
  const shares = [0, 1 / 3, 0.5, 1];
  const table = [0, 1, 2].map((k) => shares.map((share) => costs(share, k)));
  const best = sharedCost(shares, table);
  for (let a = 0; a <= 1; a += 0.05)
    for (let b = 0; a + b <= 1; b += 0.05)
      // Straight lines between the shares given lie under the curve itself, hence the margin.
      expect(costs(a, 0) + costs(b, 1) + costs(1 - a - b, 2)).toBeLessThan(best + 1.2);
});
