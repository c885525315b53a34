import { beforeAll, describe, expect, test } from "vitest";
import { connectorCases } from "../../src/decision/connector-cases.ts";
import type { MemoOption, MemoOptions } from "../../src/decision/memo-options.ts";
import { weighOptions } from "../../src/decision/weigh-options.ts";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import { samePlace } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
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
        lane,
        device: "touchpad",
        end: null,
        point: link.point,
        volts: volts(Math.round(500_000 / (1000 + series)) / 100),
        step: volts(0.01),
        takenAt: null,
        walk: "2026-05-02",
        meter: "deck",
        id: null,
        meterOn: false,
        state: "rest",
        by: null,
        note: null,
        line: k + 2,
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

describe("connector cases", () => {
  const { pool, walk } = walked("costs: { lanes_at_risk: 2 }\n");

  /** The divider by hand: 1000 (5 / 4.8 - 1) = 41.67 ohms in all, less wire 3.0 and 3 x 0.2. */
  test("the limit in volts becomes ohms of one contact, the rest of its path sound", () => {
    const plate = one(connectorCases(pool, walk, null)[0]);
    expect(plate.place).toMatchObject({ point: "plate", lane: 2 });
    expect(plate.lowOhms).toBeCloseTo(1000 * (5 / 4.8 - 1) - 3 - 0.6, 9);
    expect(plate.lossChance).toBe(0.25);
    expect(Math.exp(plate.state.fouledLog.mean)).toBeCloseTo(300, -1.5);
    expect(plate.lanes).toBeCloseTo(2 / 3, 12);
  });

  /** TTL input behind 1000 ohms: all beyond it may be 1000 * 0.8 / 4.2 = 190.5 ohms at a touch. */
  test("where the timer's input is known its margin is the limit, and a lane is then lost", () => {
    const known = walked("timer_input: {}\nsupply: { source_ohms: 1000 }\nlimit_volts: 2.4\n");
    const first = one(connectorCases(known.pool, known.walk, null)[0]);
    expect(first.lowOhms).toBeCloseTo(800 / 4.2 - 5 - 3 - 0.6, 9);
    expect(first.lossChance).toBe(1);
  });
});

describe("the pool's options", () => {
  let options: MemoOptions;
  const { pool, walk } = walked("");
  const decisions = decide(pool, walk, null);
  beforeAll(() => {
    options = weighOptions(pool, walk, null, decisions);
  });

  test("keep cleaning first, then the worst, then the class that has a suspect", () => {
    expect(options.options.map(({ id }) => id)).toEqual([
      "keep-cleaning",
      "replace-worst",
      "replace-class:plate",
    ]);
    expect(optionOf(options, "keep-cleaning")).toMatchObject({
      request: 0,
      replaced: [],
      comparison: null,
    });
    expect(optionOf(options, "replace-worst").label).toBe("Replace the worst connector");
    expect(optionOf(options, "replace-worst").request).toBeCloseTo(120 + (40 * 40) / 60, 9);
    expect(optionOf(options, "replace-class:plate").replaced).toHaveLength(3);
    expect(optionOf(options, "replace-class:plate").request).toBeCloseTo(3 * (120 + 80 / 3), 9);
  });

  /** Present value by hand: year t at 1.03^-t, as NIST Handbook 135's end-of-year convention. */
  test("life-cycle cost is the discounted cash flow, net savings the difference", () => {
    for (const option of options.options) {
      const present = option.cashFlow.reduce((sum, row) => sum + row.total * 1.03 ** -row.year, 0);
      expect(option.lifeCycleCost).toBeCloseTo(present, 6);
      expect(option.annualCost).toBeCloseTo(present * 0.1172305, 3);
      expect(option.cashFlow).toHaveLength(11);
      const base = optionOf(options, "keep-cleaning");
      if (option.comparison !== null)
        expect(option.comparison.netSavings).toBeCloseTo(base.lifeCycleCost - present, 6);
      for (const row of option.cashFlow)
        expect(row.total).toBeCloseTo(
          row.replacing + row.renewing + row.cleaning + row.lostLanes,
          9,
        );
    }
  });

  test("the preferred option costs least of those that decide agrees with", () => {
    const agreed = options.options.filter(({ replaced }) =>
      replaced.every((place) =>
        decisions.some((each) => each.action === "replace" && samePlace(each.place, place)),
      ),
    );
    const least = Math.min(...agreed.map(({ lifeCycleCost }) => lifeCycleCost));
    expect(optionOf(options, options.preferred).lifeCycleCost).toBe(least);
    const saved = (id: string): number => optionOf(options, id).comparison?.netSavings ?? 0;
    expect(saved("replace-worst")).toBeGreaterThan(saved("replace-class:plate"));
  });

  test("each assumption moves alone, and its base is the base case", () => {
    const names = options.sensitivity.map(({ assumption }) => assumption);
    expect(new Set(names).size).toBe(names.length);
    for (const expected of ["labour", "discount rate", "horizon", "price of a lost lane"])
      expect(names).toContain(expected);
    const dear = one(options.sensitivity.find((row) => row.assumption === "price of parts"));
    expect(dear.low.netSavings).toBeGreaterThan(dear.high.netSavings);
    const lane = one(options.sensitivity.find((row) => row.assumption === "price of a lost lane"));
    expect(lane.high.netSavings).toBeGreaterThan(lane.low.netSavings);
    const swings = options.sensitivity.map((row) =>
      Math.abs(row.high.netSavings - row.low.netSavings),
    );
    expect(swings).toEqual([...swings].sort((a, b) => b - a));
  });

  /** At a range of no width both ends are the base case: 0.7 to 0.7 of nothing else changed. */
  test("an assumption known exactly moves nothing", () => {
    const labour = { value: 40, low: 40, high: 40 };
    const costs = { ...one(pool.costs), labourPerHour: labour };
    const same = weighOptions(pool, walk, null, decisions, costs);
    const row = one(same.sensitivity.find(({ assumption }) => assumption === "labour"));
    for (const end of [row.low, row.high])
      for (const [k, option] of same.options.entries())
        expect(end.lifeCycleCosts[k]).toBeCloseTo(option.lifeCycleCost, 6);
    expect(row.changesRanking).toBe(false);
  });

  test("a budget starts at nothing, buys the worst first, and never loses lanes", () => {
    const [start, first] = options.budget;
    expect(start).toMatchObject({ spent: 0, replaced: null });
    expect(start?.lifeCycleCost).toBeCloseTo(optionOf(options, "keep-cleaning").lifeCycleCost, 6);
    expect(first?.replaced).toMatchObject({ point: "plate", lane: 2 });
    expect(first?.lanesKept).toBeCloseTo(optionOf(options, "replace-worst").lanesKept, 9);
    for (const [k, step] of options.budget.entries()) {
      expect(step.lanesKept).toBeLessThanOrEqual(3);
      if (k > 0) expect(step.lanesKept).toBeGreaterThan(options.budget[k - 1]?.lanesKept ?? 4);
    }
  });

  /** The memo and decide are one answer: no part is asked for that a decision would clean or leave. */
  test("nothing is preferred that a decision would not replace", () => {
    const preferred = optionOf(options, options.preferred as MemoOptions["preferred"]);
    for (const place of preferred.replaced)
      expect(
        decisions.find((each) => samePlace(each.place, place))?.action,
        `${place.connector} ${place.lane}`,
      ).toBe("replace");
  });
});
