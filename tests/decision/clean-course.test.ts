import { describe, expect, test } from "vitest";
import { leavePlan } from "../../src/decision/best-plan.ts";
import {
  type CleanPlan,
  curedValues,
  planCost,
  uncuredBlocks,
} from "../../src/decision/clean-course.ts";
import type { ConnectorCase } from "../../src/decision/connector-case.ts";
import {
  emptyMemory,
  growthNodes,
  type Laid,
  layOut,
  uncuredAt,
} from "../../src/decision/keeping.ts";
import type { Costs } from "../../src/domain/costs.ts";
import { slowCosts, slowNormalCdf } from "./brute-force.ts";
import { plateCase, sampleCosts } from "./sample-case.ts";

/** Everything fast: growth and cure single numbers, a life of weeks, a horizon of a year and some. */
const subject: ConnectorCase = {
  ...plateCase,
  growth: { mean: 0.6, sd: 0 },
  likeGrowth: { mean: 0.9, sd: 0 },
  likeCure: { alpha: 8e7, beta: 2e7 },
  creepPerYear: 0.5,
  scatterLogSd: 0.8,
  lowOhms: 10,
  costs: { ...plateCase.costs, lifeYears: 0.6, part: 30 },
  ageYears: 0.2,
};
const within = (years: number): Costs => ({
  ...sampleCosts,
  horizonYears: { value: years, low: years, high: years },
});

function fastCost(laid: Laid, plan: CleanPlan, level: number, cure: number, now: boolean): number {
  const growth = growthNodes(laid, 1)[0];
  if (growth === undefined) throw new Error("no growth");
  const line = uncuredAt(laid, level, growth.value);
  const cured = curedValues(laid, plan, growth.table, [{ value: cure }])[0] as Float64Array;
  return planCost(laid, plan, uncuredBlocks(laid, plan, line), cured, cure, now);
}

describe("a plan's cost is that of the tree of everything that may happen", () => {
  for (const [weeks, every, replaceFrom, endWeek, cure] of [
    [9, 3, null, 9, 0.6],
    [9, 3, 10, 9, 0.6],
    [9, 3, 25, 9, 0.6],
    [9, 4, 10, 7, 0.3],
    [7, 1, null, 7, 0.9],
    [8, 5, 6, 6, 0.05],
  ] as const) {
    test(`${weeks} weeks, cleaned every ${every}, replaced over ${replaceFrom} ohms, until ${endWeek}`, () => {
      const costs = within(weeks / 52);
      const laid = layOut(subject, costs, emptyMemory());
      expect(laid.grid.weeks).toBe(weeks);
      const replaceOver = replaceFrom === null ? null : Math.log(replaceFrom);
      const plan = { everyWeeks: every, replaceOver, endWeek };
      const slow = slowCosts({
        subject,
        costs,
        weeks,
        cure,
        growth: subject.growth.mean,
        plan,
        fresh: laid.fresh,
      });
      expect(laid.replaceAt[0]).toBeCloseTo(slow.replaceNow(), 4);
      for (const level of [Math.log(4), Math.log(12), Number.POSITIVE_INFINITY])
        for (const now of [true, false])
          expect(fastCost(laid, plan, level, cure, now)).toBeCloseTo(slow.keep(level, now), 4);
      const leave = fastCost(laid, leavePlan(laid), Math.log(4), 0, false);
      expect(leave).toBeCloseTo(slow.leave(Math.log(4)), 4);
    });
  }
});

test("the floor creeps at the turn of the year, and money is discounted by its year", () => {
  const slowLife: ConnectorCase = {
    ...subject,
    costs: { ...subject.costs, lifeYears: 40, lifeShape: 1 },
    ageYears: 0,
  };
  const costs = within(60 / 52);
  const laid = layOut(slowLife, costs, emptyMemory());
  const plan = { everyWeeks: 20, replaceOver: null, endWeek: 60 };
  const value = fastCost(laid, plan, Math.log(4), 1, true);
  // Cured at 0, 20 and 40 for certain, so each week's level is known: floor, creep and growth.
  const meet = (sampleCosts.meetsPerSeason.value / 52) * sampleCosts.lostLane.value;
  let expected = 0;
  for (let week = 0; week < 60; week += 1) {
    const stays = Math.exp(-week / 52 / 40);
    const worth = 1.03 ** -(week < 52 ? 1 : 60 / 52);
    const level = Math.log(0.5) + (week < 52 ? 0 : 0.5) + 0.6 * (week % 20);
    const low = slowNormalCdf((level - Math.log(10)) / 0.8);
    expected += stays * worth * meet * slowLife.lossChance * low;
    if (week % 20 === 0) expected += stays * (week === 0 ? 1 : worth) * 8;
  }
  expect(value - (laid.brokenBy[60] as number)).toBeCloseTo(expected, 4);
});
