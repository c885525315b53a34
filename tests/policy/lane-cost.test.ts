import { expect, test } from "vitest";
import { failureCost, laneCost, sharedFailureCosts } from "../../src/policy/lane-cost.ts";

const needs = { first: "touchpad", fallBack: ["button-1", "button-2"], atLeast: 1 };
const FALL_BACK = 0.2;
const costOf = (failing: readonly number[]): number => laneCost(failing, needs, FALL_BACK);

// By hand: p1 p2 + f p1 (1 - p2) = 0.1 * 0.3 + 0.2 * 0.1 * 0.7 = 0.044.
test("a lane with one fall-back costs p1 p2 + f p1 (1 - p2)", () => {
  expect(costOf([0.1, 0.3])).toBeCloseTo(0.044, 12);
});

// By hand: f + (1 - f) p2 = 0.2 + 0.8 * 0.3; (1 - f) p1 = 0.8 * 0.1.
test("each device's failure has its own price", () => {
  expect(failureCost([0.1, 0.3], 0, costOf)).toBeCloseTo(0.44, 12);
  expect(failureCost([0.1, 0.3], 1, costOf)).toBeCloseTo(0.08, 12);
});

test("a lane without a fall-back is lost with its device", () => {
  expect(costOf([0.1])).toBeCloseTo(0.1, 12);
  expect(failureCost([0.1], 0, costOf)).toBeCloseTo(1, 12);
});

// Every outcome of three devices written out.
test("more fall-backs alike: the sum over all outcomes", () => {
  const failing = [0.2, 0.3, 0.4];
  for (const atLeast of [1, 2, 3]) {
    let sum = 0;
    for (let bits = 0; bits < 8; bits++) {
      const out = failing.map((_, k) => (bits >> k) % 2 === 1);
      const chance = failing.reduce((all, p, k) => all * (out[k] ? p : 1 - p), 1);
      const working = out.filter((gone) => !gone).length;
      sum += chance * (working < atLeast ? 1 : out[0] ? FALL_BACK : 0);
    }
    expect(laneCost(failing, { ...needs, atLeast }, FALL_BACK)).toBeCloseTo(sum, 12);
  }
});

test("shared prices add up to what the lane costs, and no device pays for what it does not add", () => {
  const failing = [0.9, 0.95, 0.8];
  const costs = sharedFailureCosts(failing, costOf);
  const sum = failing.reduce((all, p, k) => all + p * costs[k]!, 0);
  expect(sum).toBeCloseTo(costOf(failing), 12);
  expect(costs[1]).toBeLessThan(costs[0]!);
  expect(sharedFailureCosts([0, 1], costOf)[1]).toBeCloseTo(0, 12);
});
