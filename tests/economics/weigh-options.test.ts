import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import { samePlace } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { MemoOption, MemoOptions } from "../../src/economics/memo-options.ts";
import { weighOptions } from "../../src/economics/weigh-options.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { decide } from "../../src/policy/decide.ts";

/** An invented pool of three lanes: lane 2's plate connector at 300 ohms. */
function walked(costs: string): { pool: Pool; walk: WalkDiagnosis } {
  const file = `pool: Kestrel Bay\nmodel: plain\nlanes: 3\ndevices: [touchpad]\n${costs}`;
  const read = readPool(file, "pool.yaml");
  if (!read.ok) throw new Error(read.error[0]?.message);
  const pool = read.value;
  const readings = pool.lanes.flatMap((lane) => {
    let series = 0;
    return pool.circuits[0]!.path.map((link, k): Reading => {
      series += link.wireOhms + (lane === 2 && link.point === "plate" ? 300 : 0.2);
      return {
        ...{ lane, device: "touchpad", end: null, point: link.point, line: k + 2 },
        ...{ volts: volts(Math.round(500_000 / (1000 + series)) / 100), step: volts(0.01) },
        ...{ takenAt: null, walk: "2026-05-02", meter: "deck", id: null, meterOn: false },
        ...{ state: "rest", by: null, note: null },
      };
    });
  });
  return { pool, walk: diagnose(pool, readings) };
}

const one = <T>(found: T | undefined): T => {
  if (found === undefined) throw new Error("not found");
  return found;
};
const optionOf = (options: MemoOptions, id: string): MemoOption =>
  one(options.options.find((option) => option.id === id));

const practice =
  "costs: { check_weeks: 2, practice: { clean_under: 4.8, replace_after: 2, clean_every: 13 } }\n";

describe("the pool's options", () => {
  const { pool, walk } = walked(practice);
  const options = weighOptions(pool, walk, null);

  test("the plan first, then today's practice, cleaning with replacing, the worst, the class", () => {
    expect(options.options.map(({ id }) => id)).toEqual([
      "plan",
      "present-practice",
      "clean-then-replace",
      "replace-worst",
      "replace-class:plate",
      "phased:plate",
    ]);
    expect(optionOf(options, "plan").comparison).toBeNull();
    const worst = optionOf(options, "replace-worst");
    expect(worst.label).toBe("Replace the worst connector");
    expect(worst.replaced).toMatchObject([{ point: "plate", lane: 2 }]);
    // The default plate connector: a part of 120 and 40 minutes at 40 an hour.
    expect(worst.request).toBeCloseTo(120 + (40 * 40) / 60, 9);
    const whole = optionOf(options, "replace-class:plate");
    expect(whole.replaced).toHaveLength(3);
    expect(whole.request).toBeCloseTo(3 * (120 + 80 / 3), 9);
    expect(optionOf(options, "phased:plate").request).toBeCloseTo(whole.request, 9);
  });

  test("nobody's practice is not made up", () => {
    const silent = walked("");
    const ids = weighOptions(silent.pool, silent.walk, null).options.map(({ id }) => id);
    expect(ids).not.toContain("present-practice");
  });

  // Present value by hand: year t at 1.03^-t, as NIST Handbook 135's end-of-year convention; the
  // annual value is that times the capital recovery factor of 10 years at 3 %, 0.1172305.
  test("life-cycle cost is the discounted cash flow, net savings the difference", () => {
    const base = optionOf(options, "plan");
    for (const option of options.options) {
      const present = option.cashFlow.reduce((sum, row) => sum + row.total * 1.03 ** -row.year, 0);
      expect(option.lifeCycleCost).toBeCloseTo(present, 6);
      expect(option.annualCost).toBeCloseTo(present * 0.1172305, 3);
      expect(option.cashFlow).toHaveLength(11);
      if (option.comparison !== null)
        expect(option.comparison.netSavings).toBeCloseTo(base.lifeCycleCost - present, 6);
      for (const row of option.cashFlow)
        expect(row.total).toBeCloseTo(
          row.replacing + row.renewing + row.cleaning + row.lostLanes,
          9,
        );
    }
  });

  test("a class over three years is bought in thirds", () => {
    const bought = optionOf(options, "phased:plate").cashFlow.map(({ replacing }) => replacing);
    for (const year of [0, 1, 2]) expect(bought[year]).toBeCloseTo(120 + 80 / 3, 6);
    for (const year of [3, 4, 5]) expect(bought[year]).toBeCloseTo(0, 9);
  });

  // Common practice against the policy that knows its prices: it can't be much dearer than a rule
  // that it may follow itself.
  test("the plan costs no more than the practices that it might follow", () => {
    const plan = optionOf(options, "plan").lifeCycleCost;
    for (const id of ["present-practice", "clean-then-replace"])
      expect(plan, id).toBeLessThan(1.02 * optionOf(options, id).lifeCycleCost);
  });

  test("each assumption moves alone, and its base is the base case", () => {
    const names = options.sensitivity.map(({ assumption }) => assumption);
    expect(new Set(names).size).toBe(names.length);
    for (const expected of [
      "labour",
      "discount rate",
      "horizon",
      "price of a lost lane",
      "chance that a cleaning cures",
      "age of what is installed",
      "weeks between walks",
    ])
      expect(names).toContain(expected);
    const dear = one(options.sensitivity.find((row) => row.assumption === "price of parts"));
    expect(dear.low.lifeCycleCosts[4]).toBeLessThan(dear.high.lifeCycleCosts[4]!);
    const swings = options.sensitivity.map((row) =>
      Math.abs(row.high.netSavings - row.low.netSavings),
    );
    expect(swings).toEqual([...swings].sort((a, b) => b - a));
  });

  test("chances over all assumptions are chances, and the same every time", () => {
    const again = weighOptions(pool, walk, null);
    for (const [k, option] of options.options.entries()) {
      expect(option.chanceSaves).toBe(again.options[k]!.chanceSaves);
      if (k > 0) expect(option.chanceSaves).toBeGreaterThanOrEqual(0);
      if (k > 0) expect(option.chanceSaves).toBeLessThanOrEqual(1);
    }
  });

  // At a range of no width both ends are the base case.
  test("an assumption known exactly moves nothing", () => {
    const labour = { value: 40, low: 40, high: 40 };
    const same = weighOptions(pool, walk, null, { ...one(pool.costs), labourPerHour: labour });
    const row = one(same.sensitivity.find(({ assumption }) => assumption === "labour"));
    for (const end of [row.low, row.high])
      for (const [k, option] of same.options.entries())
        expect(end.lifeCycleCosts[k]).toBeCloseTo(option.lifeCycleCost, 6);
    expect(row.changesRanking).toBe(false);
  });

  test("nothing is asked for that a decision would not replace", () => {
    const decisions = decide(pool, walk, null);
    const asked = options.options.find(({ id }) => id === options.requested);
    for (const place of asked?.replaced ?? []) {
      const decision = decisions.find((each) => samePlace(each.place, place));
      if (decision !== undefined) expect(decision.action).toBe("replace");
    }
    const plan = optionOf(options, "plan");
    expect(plan.replaced.map(({ point, lane }) => [point, lane])).toEqual(
      decisions
        .filter(({ action }) => action === "replace")
        .map(({ place: { point, lane } }) => [point, lane]),
    );
  });
});
