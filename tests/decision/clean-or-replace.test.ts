import { describe, expect, test } from "vitest";
import { expectedCosts } from "../../src/decision/best-plan.ts";
import { curedValues, planCost, uncuredBlocks } from "../../src/decision/clean-course.ts";
import { cleanOrReplace } from "../../src/decision/clean-or-replace.ts";
import { type ConnectorCase, contactBehind, readingAt } from "../../src/decision/connector-case.ts";
import type { Course, CourseKind, Decision } from "../../src/decision/decision.ts";
import { freshConnector } from "../../src/decision/fresh-connector.ts";
import { emptyMemory, FINE, growthNodes, layOut, uncuredAt } from "../../src/decision/keeping.ts";
import { priceNodes, rangeNodes } from "../../src/decision/price-nodes.ts";
import { pricesOf } from "../../src/decision/prices.ts";
import type { Costs, Figure } from "../../src/domain/costs.ts";
import { bestReplacementAge } from "../../src/policy/age-replacement.ts";
import { weekGrid } from "../../src/policy/week-grid.ts";
import { slowNormalCdf } from "./brute-force.ts";
import { plateCase, sampleCosts } from "./sample-case.ts";

const exactly = (value: number): Figure => ({ value, low: value, high: value });
/** The same costs, known exactly. */
const pricesKnown = (costs: Costs): Costs => ({
  ...costs,
  labourPerHour: exactly(costs.labourPerHour.value),
  meetsPerSeason: exactly(costs.meetsPerSeason.value),
  lostLane: exactly(costs.lostLane.value),
  lossChance: exactly(costs.lossChance.value),
});
const course = (decision: Decision, kind: CourseKind): Course => {
  const found = decision.courses.find((each) => each.kind === kind);
  if (found === undefined) throw new Error(`no course ${kind}`);
  return found;
};

test("chances of the four courses sum to 1 and the preferred one costs least", () => {
  for (const cure of [
    { alpha: 3, beta: 2 },
    { alpha: 20, beta: 1 },
    { alpha: 1, beta: 9 },
  ]) {
    const found = cleanOrReplace({ ...plateCase, cure }, sampleCosts);
    expect(found.courses.reduce((sum, each) => sum + each.chanceBest, 0)).toBeCloseTo(1, 9);
    const least = Math.min(...found.courses.map((each) => each.presentCost));
    expect(course(found, found.preferred).presentCost).toBe(least);
    // Equivalent annual cost: capital recovery over 10 years at 3 %, 0.117231 in the usual tables.
    for (const each of found.courses)
      expect(Math.abs(each.annualCost / each.presentCost - 0.117231)).toBeLessThan(6e-7);
  }
});

describe("limit cases", () => {
  test("cleaning that is free and may cure is never given up for a replacement", () => {
    for (const cure of [
      { alpha: 1, beta: 1 },
      { alpha: 5, beta: 1 },
      { alpha: 2, beta: 6 },
    ]) {
      const free = { ...plateCase.costs, cleanMinutes: 0 };
      const found = cleanOrReplace({ ...plateCase, cure, costs: free }, sampleCosts);
      expect(found.preferred).toBe("clean");
      // Whole weeks: the shortest interval that there is.
      expect(found.breakEvenWeeks).toBe(1);
    }
  });

  test("a cure that never holds is always a replacement", () => {
    const never = { alpha: 1, beta: 1e6 };
    const found = cleanOrReplace({ ...plateCase, cure: never }, pricesKnown(sampleCosts));
    expect(found.preferred).toBe("replace-now");
    expect(found.chanceBest).toBeGreaterThan(0.97);
    // Nothing is left to hope for: what reads as it does now, 75 ohms, is replaced at once.
    const turn = found.breakEvenReading;
    expect(turn.kind === "reading" && turn.volts).toBeGreaterThan(readingAt(plateCase.path, 75));
    const dear = cleanOrReplace(
      { ...plateCase, cure: never },
      { ...sampleCosts, lostLane: exactly(1e4) },
    );
    expect(dear.breakEvenReading.kind).toBe("always-replace");
  });

  test("a contact that is sound for certain is left alone", () => {
    const sound = { ...plateCase.state, sound: 1, fouled: 0, open: 0 };
    const still = { mean: 0, sd: 0 };
    const found = cleanOrReplace({ ...plateCase, state: sound, growth: still }, sampleCosts);
    expect(found.preferred).toBe("leave");
    expect(found.chanceBest).toBeCloseTo(1, 9);
  });

  test("where a lost lane costs nothing nothing is worth doing", () => {
    const found = cleanOrReplace(plateCase, { ...sampleCosts, lostLane: exactly(0) });
    expect(found.preferred).toBe("leave");
    expect(found.breakEvenReading.kind).toBe("never-replace");
  });
});

/** Horizon of one check: each course is one sum by hand. Prices: clean 8, replace 146.67. */
test("a horizon of one check is one week's work and one week's risk", () => {
  const certain: ConnectorCase = {
    ...plateCase,
    state: { ...plateCase.state, sound: 0, fouled: 1, open: 0, fouledLog: { mean: 4, sd: 0 } },
    growth: { mean: 0.1, sd: 0 },
    likeGrowth: { mean: 0.1, sd: 0 },
    scatterLogSd: 1,
    costs: { ...plateCase.costs, lifeYears: 1000, lifeShape: 1 },
  };
  const found = cleanOrReplace(certain, { ...sampleCosts, horizonYears: exactly(1 / 52) });
  const week = (20 / 52) * 100 * 0.25 * 1.03 ** (-1 / 52);
  const low = (level: number): number => slowNormalCdf(level - Math.log(38));
  const gone = 1 - Math.exp(-1 / 52 / 1000);
  const broken = gone * ((20 / 52) * 100 * 0.5);
  expect(course(found, "leave").presentCost).toBeCloseTo(week * low(4) + broken, 4);
  const uncured = 0.4 * (course(found, "clean").replaceIfLow ? Number.NaN : low(4));
  const cleaned = 8 + week * (0.6 * low(Math.log(0.5)) + uncured) + broken;
  expect(course(found, "clean").presentCost).toBeCloseTo(cleaned, 4);
  const replaced = 120 + 80 / 3 + week * low(Math.log(0.2)) + broken;
  expect(course(found, "replace-now").presentCost).toBeCloseTo(replaced, 3);
  expect(course(found, "replace-at-age").replaceInWeeks).toBeNull();
  expect(found.preferred).toBe("leave");
});

/**
 * Where only the chance of a cure is uncertain, the chance that cleaning is best is the share of the
 * beta distribution over the cure chance at which the two costs cross, found here by bisection with
 * the cure chance known; the share is Simpson's rule on the density.
 */
test("the chance of being best is the beta distribution's share beyond the crossing", () => {
  const known: ConnectorCase = {
    ...plateCase,
    state: { ...plateCase.state, sound: 0, fouled: 1, open: 0, fouledLog: { mean: 5, sd: 0 } },
    growth: { mean: 0.1, sd: 0 },
    cure: { alpha: 4, beta: 2 },
    costs: { ...plateCase.costs, lifeYears: 50 },
    creepPerYear: 0,
  };
  const found = cleanOrReplace(known, pricesKnown(sampleCosts));
  const cleaning = course(found, "clean");
  const laid = layOut(known, sampleCosts, emptyMemory());
  const plan = {
    everyWeeks: cleaning.everyWeeks ?? 520,
    replaceOver:
      cleaning.replaceUnderVolts === null
        ? null
        : Math.log(contactBehind(known.path, cleaning.replaceUnderVolts)),
    endWeek: 520,
  };
  const rival = (cure: number): number => {
    const line = uncuredAt(laid, 5, 0.1);
    const table = growthNodes(laid, 1)[0]?.table;
    if (table === undefined) throw new Error("no growth");
    const values = curedValues(laid, plan, table, [{ value: cure }])[0] as Float64Array;
    const blocks = uncuredBlocks(laid, plan, line);
    return planCost(laid, plan, blocks, values, cure, true) - (laid.replaceAt[0] ?? 0);
  };
  let [low, high] = [0.4, 0.9];
  for (let k = 0; k < 30; k += 1) {
    const middle = (low + high) / 2;
    if (rival(middle) > 0) low = middle;
    else high = middle;
  }
  const density = (x: number): number => 20 * x ** 3 * (1 - x);
  const n = 1000;
  let share = 0;
  for (let k = 0; k < n; k += 1) share += density(low + ((1 - low) * (k + 0.5)) / n);
  share *= (1 - low) / n;
  const best = cleaning.chanceBest;
  expect(Math.abs(best - share)).toBeLessThan(0.005);
});

describe("prices that nobody knows exactly", () => {
  const priced = (lostLane: Figure): Decision =>
    cleanOrReplace(plateCase, { ...pricesKnown(sampleCosts), lostLane });

  /**
   * A lost lane that may cost nothing, with the weight 0.185 of a range's low end: there leaving is
   * best for certain. At the high end, a million, it never is; in between as with 100 known.
   */
  test("the chance of each course is mixed over the range of a price", () => {
    const exact = priced(exactly(100));
    const wide = priced({ value: 100, low: 0, high: 1e6 });
    const leaving = 0.185 + 0.63 * course(exact, "leave").chanceBest;
    expect(course(wide, "leave").chanceBest).toBeCloseTo(leaving, 3);
    expect(wide.chanceBest).toBeLessThan(exact.chanceBest);
    expect(wide.courses.reduce((sum, each) => sum + each.chanceBest, 0)).toBeCloseTo(1, 9);
    // What is expected stays at the prices that are reckoned with.
    expect(wide.courses.map((each) => each.presentCost)).toEqual(
      exact.courses.map((each) => each.presentCost),
    );
  });

  /** Standard normal: points -1.6449, 0, 1.6449, variance 0.37 * 2.7055 = 1.0010. */
  test("three points have a normal's variance and an exponential's mean", () => {
    const mean = (figure: Figure, of: (x: number) => number): number =>
      rangeNodes(figure).reduce((sum, { value, weight }) => sum + weight * of(value), 0);
    const normal = { value: 0, low: -1.6449, high: 1.6449 };
    expect(mean(normal, (x) => x * x)).toBeCloseTo(1.001, 3);
    const exponential = { value: Math.log(2), low: -Math.log(0.95), high: -Math.log(0.05) };
    expect(Math.abs(mean(exponential, (x) => x) - 1)).toBeLessThan(0.001);
    expect(rangeNodes(exactly(7))).toEqual([{ value: 7, weight: 1 }]);
  });

  test("a chance that the timer settles is not spread over the file's range", () => {
    const certain = priceNodes({ ...plateCase, lossChance: 1 }, sampleCosts);
    expect(certain).toHaveLength(27);
    for (const { counts } of certain) expect(counts[2]).toBe(counts[3]);
    expect(priceNodes(plateCase, sampleCosts)).toHaveLength(81);
  });
});

describe("break-even", () => {
  test("at the reading keeping costs what replacing costs; a lower one is worse", () => {
    const cure = { alpha: 8, beta: 1 };
    const found = cleanOrReplace({ ...plateCase, cure }, sampleCosts).breakEvenReading;
    if (found.kind !== "reading") throw new Error("no break-even reading");
    expect(found.volts).toBeGreaterThan(4.5);
    expect(found.volts).toBeLessThan(5);
    // The divider by hand: 1000 ohm meter, 3.6 ohm of wire and other contacts.
    expect(found.volts).toBeCloseTo((5 * 1000) / (1000 + 3.6 + found.contactOhms), 9);
    expect(contactBehind(plateCase.path, readingAt(plateCase.path, 38))).toBeCloseTo(38, 9);
  });

  /** The rule is the course's own: a step of any size away from it makes the course dearer. */
  test("the course that is weighed replaces at the break-even, and no other level is cheaper", () => {
    const known = { ...plateCase, growth: { mean: 0.12, sd: 0 }, cure: { alpha: 3e6, beta: 2e6 } };
    const found = cleanOrReplace(known, sampleCosts);
    const turn = found.breakEvenReading;
    const cleaning = course(found, "clean");
    if (turn.kind !== "reading") throw new Error("no break-even reading");
    expect(cleaning).toMatchObject({ replaceIfLow: true, replaceUnderVolts: turn.volts });
    const laid = layOut(known, sampleCosts, emptyMemory());
    const everyWeeks = cleaning.everyWeeks ?? 520;
    const costOver = (ohms: number): number =>
      expectedCosts(
        laid,
        [{ everyWeeks, replaceOver: Math.log(ohms), endWeek: 520 }],
        FINE,
      )[0] as number;
    expect(costOver(turn.contactOhms)).toBeCloseTo(cleaning.presentCost, 6);
    for (const factor of [0.25, 4])
      expect(costOver(turn.contactOhms * factor)).toBeGreaterThan(cleaning.presentCost);
  });

  test("the dearer a replacement, the lower the reading that justifies it", () => {
    const volts = [60, 120, 240].map((part) => {
      const costs = { ...plateCase.costs, part };
      const cure = { alpha: 8, beta: 1 };
      const found = cleanOrReplace({ ...plateCase, cure, costs }, sampleCosts).breakEvenReading;
      return found.kind === "reading" ? found.volts : 0;
    });
    expect(volts[0]).toBeGreaterThan(volts[1] ?? 0);
    expect(volts[1]).toBeGreaterThan(volts[2] ?? 0);
  });

  const calm: ConnectorCase = {
    ...plateCase,
    costs: { ...plateCase.costs, lifeYears: 1e6 },
    likeGrowth: { mean: 0, sd: 0 },
    cure: { alpha: 1e8, beta: 1 },
  };

  /**
   * A cleaning of 8 that always cures, against a replacement of 120 + 80 / 3 = 146.67: 18 cleanings
   * are 144, 19 are 152. In 520 weeks 18 are enough from 520 / 18 = 28.9 weeks on.
   */
  test("weeks that a cleaning must hold, by hand at no interest", () => {
    const found = cleanOrReplace(calm, { ...sampleCosts, discountRate: exactly(0) });
    expect(found.breakEvenWeeks).toBe(29);
  });

  test("with interest it is the shortest interval whose cleanings are worth the replacement", () => {
    const weeks = cleanOrReplace(calm, sampleCosts).breakEvenWeeks ?? 0;
    // Paid at the end of the year that its week belongs to; the first one now.
    const worth = (every: number): number => {
      let sum = 8;
      for (let week = every; week < 520; week += every)
        sum += 8 * 1.03 ** -(Math.floor(week / 52) + 1);
      return sum;
    };
    expect(worth(weeks)).toBeLessThan(120 + 80 / 3);
    expect(worth(weeks - 1)).toBeGreaterThan(120 + 80 / 3);
  });

  /** With its losses a course costs more than without: what is cheaper with them is so without. */
  test("a cleaning course that is preferred leaves the weeks that a cleaning must hold", () => {
    let seen = 0;
    for (const mean of [0.03, 0.12, 0.3])
      for (const cleanMinutes of [6, 12, 30]) {
        const costs = { ...plateCase.costs, cleanMinutes };
        const found = cleanOrReplace(
          { ...plateCase, growth: { mean, sd: 0.05 }, costs },
          sampleCosts,
        );
        if (found.preferred !== "clean") continue;
        seen += 1;
        const { everyWeeks } = course(found, "clean");
        expect(found.breakEvenWeeks).not.toBeNull();
        expect(everyWeeks ?? 520).toBeGreaterThanOrEqual(found.breakEvenWeeks ?? 521);
      }
    expect(seen).toBeGreaterThan(3);
  });

  test("a cleaning that never cures can hold no time that is enough", () => {
    const never = { alpha: 1, beta: 1e6 };
    expect(cleanOrReplace({ ...plateCase, cure: never }, sampleCosts).breakEvenWeeks).toBeNull();
  });
});

/** Without film the best age by weeks is Barlow and Hunter's, which has published numbers. */
test("the best age of a new connector is age replacement where there is no film", () => {
  const noFilm: ConnectorCase = {
    ...plateCase,
    likeGrowth: { mean: 0, sd: 0 },
    creepPerYear: 0,
    lanes: 60,
  };
  const prices = pricesOf(noFilm, sampleCosts);
  const fresh = freshConnector(noFilm, prices, weekGrid(10, 0.03));
  const best = bestReplacementAge(
    { shape: 2.5, scale: 8 * 52 },
    prices.replace,
    prices.replace + prices.breakdown,
  );
  expect(fresh.everyWeeks).toBeNull();
  expect(Math.abs((fresh.ageWeeks ?? 0) - best.age)).toBeLessThan(1);
});

/** Renewal theorem: in the long run a connector is replaced once per mean life. */
test("connectors that run until they break down follow one another at their mean life", () => {
  const running: ConnectorCase = {
    ...plateCase,
    likeGrowth: { mean: 0, sd: 0 },
    creepPerYear: 0,
    costs: { ...plateCase.costs, lifeYears: 0.5, lifeShape: 1 },
  };
  const fresh = freshConnector(running, pricesOf(running, sampleCosts), weekGrid(10, 0.03));
  // Exponential life of 26 weeks on a weekly grid: broken down in any week with 1 - exp(-1/26).
  expect(fresh.replacements[400]).toBeCloseTo(1 - Math.exp(-1 / 26), 9);
});

test("laying out the same kind twice reckons its new connector once", () => {
  const memory = emptyMemory();
  const first = layOut(plateCase, sampleCosts, memory);
  const second = layOut({ ...plateCase, ageYears: 1 }, sampleCosts, memory);
  expect(second.fresh).toBe(first.fresh);
});
