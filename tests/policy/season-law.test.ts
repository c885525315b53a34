import { describe, expect, test } from "vitest";
import { costsOf } from "../../src/domain/costs.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import type { PoolTrend } from "../../src/history/trend.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { growthModes, kindsOf } from "../../src/policy/connector-law.ts";
import { decide, toReadAgain } from "../../src/policy/decide.ts";
import { cleaningsOf, decideSeason } from "../../src/policy/season-decisions.ts";
import type { Season } from "../../src/season/open-season.ts";
import { emptyWalk } from "../made-findings.ts";

const pool = madePool({
  ...{ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad"] },
  chain: [
    { point: "plate", connector: "plate", class: "plate", shared_by: "lane", wire_ohms: 2 },
    { point: "pod", connector: "pod", class: "pod", shared_by: "device", wire_ohms: 0.3 },
  ],
});
const costs = costsOf(pool);

/** What a season says of the pods: how they grow, storms, and two cleanings in three that were of film. */
const ageing = {
  ...{ point: "pod", class: "pod", notGrowing: 0.25, linear: 0.5, scatter: 0.3 },
  logRate: { median: 0.1, logSd: 0.6 },
  ohmRate: { median: 0.8, logSd: 0.9 },
  steps: { perWeek: 0.02, touched: 0.4, rise: 0.5 },
};
const trendOf = (classes: readonly object[], records: readonly object[] = []): PoolTrend =>
  ({
    ...{ classes, contacts: [], beliefs: [], walks: [] },
    cleanings: { contacts: [], connectors: [], classes: records },
  }) as unknown as PoolTrend;
const podOf = (trend: PoolTrend | null) => kindsOf(pool, costs, trend).at(-1)!.law;

describe("what the season has shown of a class", () => {
  test("its growth, scatter and storms are its contacts'", () => {
    const own = podOf(trendOf([ageing]));
    expect(own.modes).toEqual(growthModes(ageing));
    expect(own.limit.scatter).toBe(0.3);
    expect(own.steps.perWeek).toBeCloseTo(0.008, 12);
    // Three nodes of Gauss and Laguerre: moments 1, 1!, 2! and 3! of the exponential rise, mean 0.5.
    const moment = (k: number): number =>
      own.steps.rises.reduce((sum, { value, weight }) => sum + weight * value ** k, 0);
    expect(moment(0)).toBeCloseTo(1, 5);
    expect(moment(1)).toBeCloseTo(0.5, 5);
    expect(moment(2)).toBeCloseTo(2 * 0.25, 4);
    expect(moment(3)).toBeCloseTo(6 * 0.125, 4);
    // Never less scatter than a tenth: a plug is shaken.
    expect(podOf(trendOf([{ ...ageing, scatter: 0.01 }])).limit.scatter).toBe(0.1);
  });

  test("another point's or another class's growth is not its own", () => {
    const unseen = podOf(null);
    for (const other of [
      { ...ageing, point: "plate" },
      { ...ageing, class: "plate" },
    ])
      expect(podOf(trendOf([other])).modes).toEqual(unseen.modes);
    expect(podOf(trendOf([{ ...ageing, point: "plate" }, ageing])).modes).toEqual(
      growthModes(ageing),
    );
    expect(unseen.steps.perWeek).toBe(0);
  });

  // By hand: two cleanings of film to one of metal.
  test("how often trouble is film, by its own record", () => {
    const record = { point: "pod", alpha: 4, beta: 2, cleanings: [] };
    expect(podOf(trendOf([], [record])).oxide).toBeCloseTo(1 / 3, 12);
    expect(podOf(trendOf([], [{ ...record, alpha: 1, beta: 3 }])).oxide).toBeCloseTo(0.75, 12);
    const other = { ...record, point: "plate", alpha: 1, beta: 9 };
    expect(podOf(trendOf([], [other])).oxide).toBe(podOf(null).oxide);
  });
});

test("a season's decisions are its latest walk's, asked for once under their name", () => {
  const trend = trendOf([]);
  const diagnosis: WalkDiagnosis = { ...emptyWalk, walk: "2026-05-02" };
  const asked: string[] = [];
  const season = {
    ...{ pool, trend, latest: { diagnosis } },
    ask: <T>(name: string, _: unknown, answer: () => T): T => {
      asked.push(name);
      return answer();
    },
  } as unknown as Season;
  expect(decideSeason(season)).toEqual({
    decisions: decide(pool, diagnosis, trend),
    readAgain: toReadAgain(diagnosis, trend),
  });
  expect(asked).toEqual(["decisions"]);
});

test("every cleaning of all classes, the oldest first", () => {
  const of = (...days: readonly number[]) => ({ cleanings: days.map((day) => ({ day })) });
  const season = (trend: PoolTrend | null) => ({ trend }) as unknown as Season;
  const trend = trendOf([], [of(9, 4), of(7)]);
  expect(cleaningsOf(season(trend)).map(({ day }) => day)).toEqual([4, 7, 9]);
  expect(cleaningsOf(season(null))).toEqual([]);
});
