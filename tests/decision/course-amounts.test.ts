import { expect, test } from "vitest";
import type { Amounts } from "../../src/decision/amounts.ts";
import { expectedCosts } from "../../src/decision/best-plan.ts";
import { keepingAmounts, replacingAmounts } from "../../src/decision/course-amounts.ts";
import { COARSE, emptyMemory, type Laid, layOut } from "../../src/decision/keeping.ts";
import { plateCase, sampleCosts } from "./sample-case.ts";

function priced(laid: Laid, amounts: Amounts): number {
  const { prices, grid } = laid;
  let total = 0;
  for (let week = 0; week < grid.weeks; week += 1) {
    const work =
      (amounts.cleanings[week] ?? 0) * prices.clean +
      (amounts.replacements[week] ?? 0) * prices.replace;
    const loss =
      (amounts.low[week] ?? 0) * prices.lowWeek +
      (amounts.open[week] ?? 0) * prices.openWeek +
      (amounts.breakdowns[week] ?? 0) * prices.breakdown;
    total += work * (grid.workDiscount[week] ?? 0) + loss * (grid.discount[week] ?? 0);
  }
  return total;
}

/**
 * Two reckonings of one thing: forward in numbers of cleanings, replacements and low weeks, then
 * priced; and backward in money, which was checked against the tree of all outcomes.
 */
test("amounts run forward and priced are the costs run backward", () => {
  const laid = layOut(plateCase, sampleCosts, emptyMemory());
  const plans = [
    { everyWeeks: 13, replaceOver: Math.log(38), endWeek: 520 },
    { everyWeeks: 26, replaceOver: null, endWeek: 520 },
    { everyWeeks: 8, replaceOver: Math.log(25), endWeek: 100 },
    { everyWeeks: 520, replaceOver: Math.log(60), endWeek: 520 },
  ];
  const backward = expectedCosts(laid, plans);
  for (const [k, plan] of plans.entries()) {
    const forward = priced(laid, keepingAmounts(laid, plan, true, COARSE));
    expect(forward / (backward[k] ?? 0)).toBeCloseTo(1, 4);
  }
  expect(priced(laid, replacingAmounts(laid))).toBeCloseTo(laid.replaceAt[0] ?? 0, 6);
});

test("what is neither cleaned nor ever breaks down takes nothing but risk", () => {
  const eternal = { ...plateCase, costs: { ...plateCase.costs, lifeYears: 100, lifeShape: 9 } };
  const laid = layOut(eternal, sampleCosts, emptyMemory());
  const leave = { everyWeeks: 520, replaceOver: null, endWeek: 520 };
  const amounts = keepingAmounts(laid, leave, false, COARSE);
  expect(Math.max(...amounts.cleanings, ...amounts.replacements)).toBeLessThan(1e-6);
  expect(amounts.open[0]).toBeCloseTo(plateCase.state.open, 9);
  expect(amounts.low[519]).toBeCloseTo(1 - plateCase.state.open, 2);
});
