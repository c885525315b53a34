import { describe, expect, test } from "vitest";
import { costsOf } from "../../src/domain/costs.ts";
import type { ContactFinding } from "../../src/domain/findings.ts";
import type { PoolTrend } from "../../src/history/trend.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import {
  beliefOf,
  type ContactSeason,
  contactView,
  seasonOf,
  stillLow,
} from "../../src/policy/contact-view.ts";
import { law } from "./sample-law.ts";

const pool = madePool({
  ...{ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad"] },
  chain: [
    { point: "plate", connector: "plate", shared_by: "lane", wire_ohms: 2 },
    { point: "pod", connector: "pod", shared_by: "device", wire_ohms: 0.3 },
  ],
  costs: { labour_per_hour: 36 },
});
const name = { lane: 1, device: "touchpad", end: null, point: "pod" };
const finding = (changed: Partial<ContactFinding>): ContactFinding =>
  ({
    ...{ ...name, sound: 1, fouled: 0, open: 0, intermittent: 0, cable: 0 },
    ohms: { median: 0.2, low: 0.1, high: 0.4 },
    ...changed,
  }) as ContactFinding;
const silent: ContactSeason = { contact: undefined, belief: undefined, oxide: 0.3 };
const weight = (belief: readonly { readonly weight: number }[]): number =>
  belief.reduce((sum, each) => sum + each.weight, 0);

describe("what is believed of a contact", () => {
  const of = (changed: Partial<ContactFinding>, season = silent) =>
    beliefOf(pool, finding(changed), season, law);
  const inState = (belief: ReturnType<typeof of>, state: string) =>
    weight(belief.filter((point) => point.state === state));

  test("weights add to 1; what is open or comes and goes is open, a fifth of it mendable", () => {
    const belief = of({ sound: 0.5, fouled: 0.1, open: 0.3, intermittent: 0.1 });
    expect(weight(belief)).toBeCloseTo(1, 12);
    expect(inState(belief, "conducts")).toBeCloseTo(0.6, 12);
    expect(inState(belief, "open")).toBeCloseTo(0.4 * law.mendable, 12);
    expect(inState(belief, "open-for-good")).toBeCloseTo(0.4 * (1 - law.mendable), 12);
    expect(belief.every(({ oxide }) => oxide === 0.3)).toBe(true);
  });

  test("a sound one lies about the pool file's median, growing as its class does", () => {
    const belief = of({});
    const mean = belief.reduce((sum, point) => sum + point.weight * point.level, 0);
    expect(mean).toBeCloseTo(Math.log(0.2), 6);
    for (const mode of law.modes)
      expect(weight(belief.filter(({ growth }) => growth.kind === mode.kind))).toBeCloseTo(
        mode.weight,
        12,
      );
  });

  test("a fouled one lies about what the walk shows of it", () => {
    const belief = of({ sound: 0, fouled: 1, ohms: { median: 80, low: 60, high: 106.67 } });
    const mean = belief.reduce((sum, point) => sum + point.weight * point.level, 0);
    expect(mean).toBeCloseTo(Math.log(80), 3);
  });

  test("one that is open for certain has no level", () => {
    const belief = of({ sound: 0, fouled: 0, open: 1 });
    expect(inState(belief, "conducts")).toBe(0);
    expect(weight(belief)).toBeCloseTo(1, 12);
  });

  // The season's points: half not growing at 70 ohm, half by a tenth a week at 90.
  const seen = (ohms: readonly [number, number]): ContactSeason => ({
    ...silent,
    belief: {
      ...name,
      points: [
        { kind: "flat", rate: 0, ohms: ohms[0], weight: 0.5 },
        { kind: "log", rate: 0.1, ohms: ohms[1], weight: 0.5 },
      ],
    } as unknown as NonNullable<ContactSeason["belief"]>,
  });
  const bad = { sound: 0, fouled: 1, ohms: { median: 80, low: 60, high: 106.67 } };

  test("level and growth go together as the walks leave them, where they speak of what this walk found", () => {
    const points = of(bad, seen([70, 90])).map(({ growth, level, weight: own }) => [
      growth.kind,
      growth.rate,
      Math.round(Math.exp(level)),
      own,
    ]);
    expect(points).toEqual([
      ["flat", 0, 70, 0.5],
      ["log", 0.1, 90, 0.5],
    ]);
  });

  test("levels of the season far from this walk's give way, their growths stay", () => {
    const belief = of(bad, seen([1, 2]));
    const mean = belief.reduce((sum, point) => sum + point.weight * point.level, 0);
    expect(mean).toBeCloseTo(Math.log(80), 3);
    expect(weight(belief.filter(({ growth }) => growth.kind === "flat"))).toBeCloseTo(0.5, 12);
    // A contact that this walk finds sound is not the one of 90 ohm.
    const sound = of({}, seen([70, 90]));
    expect(Math.max(...sound.map(({ level }) => level))).toBeLessThan(Math.log(5));
    expect(of({}, seen([1, 2]))).toHaveLength(2);
  });

  test("points of no weight or no resistance say nothing, near ones are taken together", () => {
    const points = [
      { kind: "log", rate: 0.1, ohms: 80, weight: 0.25 },
      { kind: "log", rate: 0.1, ohms: 80, weight: 0.25 },
      { kind: "log", rate: 0.1, ohms: 0, weight: 0.25 },
      { kind: "log", rate: 0.1, ohms: 60, weight: 1e-5 },
    ];
    const season = {
      ...silent,
      belief: { ...name, points } as unknown as NonNullable<ContactSeason["belief"]>,
    };
    const belief = of(bad, season);
    expect(belief).toHaveLength(1);
    expect(belief[0]!.weight).toBeCloseTo(1, 12);
    expect(Math.exp(belief[0]!.level)).toBeCloseTo(80, 9);
  });

  test("what was still low after a cleaning is not mended by another", () => {
    const cleaned = {
      ...silent,
      contact: { segments: [{ begunBy: "cleaned" }], lastCleaning: { weeksHeld: 0 } },
    } as unknown as ContactSeason;
    expect(stillLow(cleaned)).toBe(true);
    expect(stillLow(silent)).toBe(false);
    const belief = of({ sound: 0, open: 1 }, cleaned);
    expect(inState(belief, "open")).toBe(0);
    expect(inState(belief, "open-for-good")).toBeCloseTo(1, 12);
    const held = { ...cleaned, contact: { ...cleaned.contact, lastCleaning: { weeksHeld: 3 } } };
    expect(stillLow(held as unknown as ContactSeason)).toBe(false);
    const replaced = {
      ...cleaned,
      contact: { ...cleaned.contact, segments: [{ begunBy: "replaced" }] },
    };
    expect(stillLow(replaced as unknown as ContactSeason)).toBe(false);
  });
});

describe("what cleanings say of oxide", () => {
  /** Cleanings on days, each with P(film) and weeks held; all had something to cure. */
  const trend = (
    cleanings: readonly (readonly [day: number, film: number, weeks: number | null])[],
    begun?: number,
  ) =>
    ({
      contacts: [
        {
          ...name,
          segments: begun === undefined ? [] : [{ begunBy: "replaced", begun }],
        },
      ],
      beliefs: [],
      cleanings: {
        contacts: [
          {
            ...name,
            cleanings: cleanings.map(([day, film, weeksHeld]) => ({
              day,
              film,
              weeksHeld,
              hadTrouble: 1,
            })),
          },
        ],
      },
    }) as unknown as PoolTrend;
  const oxide = (...of: Parameters<typeof trend>) => seasonOf(trend(...of), finding({}), law).oxide;

  // Oxide at first 0.3; a failure, by Bayes at a cure of 0.8: 0.3 / (0.3 + 0.7 x 0.2).
  test("a failure speaks for it, a success against", () => {
    expect(seasonOf(null, finding({}), law).oxide).toBe(0.3);
    expect(oxide([])).toBe(0.3);
    expect(oxide([[1, 0.1, 0]])).toBeCloseTo(0.3 / 0.44, 12);
    const once = 0.3 / 0.44;
    expect(
      oxide([
        [1, 0.1, 0],
        [9, 0.2, 0],
      ]),
    ).toBeCloseTo(once / (once + (1 - once) * 0.2), 12);
    expect(
      oxide([
        [1, 0.1, 0],
        [9, 0.9, 6],
      ]),
    ).toBeCloseTo(0.05, 12);
  });

  test("one that no walk tells of does not count, nor one before the connector was replaced", () => {
    expect(oxide([[1, 0.1, null]])).toBe(0.3);
    expect(oxide([[1, 0.1, 0]], 5)).toBe(0.3);
    expect(oxide([[5, 0.1, 0]], 5)).toBeCloseTo(0.3 / 0.44, 12);
  });

  test("another contact's record is not its own", () => {
    const other = seasonOf(trend([[1, 0.1, 0]]), finding({ point: "plate" }), law);
    expect(other).toEqual({ contact: undefined, belief: undefined, oxide: 0.3 });
  });
});

// A reading and the way to the lane, 40 and 60 seconds at 36 an hour: 1.
test("a contact ready to be decided on: its reading by its ohms, and back", () => {
  const view = contactView(pool, costsOf(pool), pool.circuits[0]!, [], 10, {
    reading: 40,
    laneWalk: 60,
  });
  expect(view.reading.price).toBeCloseTo(1, 12);
  expect(view.reading.emf).toBe(5);
  expect(view.reading.volts(Math.log(60))).toBeCloseTo(5000 / 1072.5, 9);
  expect(view.levelBehind(5000 / 1072.5)).toBeCloseTo(Math.log(60), 9);
  expect(view.levelBehind(5.2)).toBeCloseTo(Math.log(0.01), 9);
  expect(view.reading).toMatchObject({ noise: 0.02, badShare: pool.model.badShare, misread: 0.01 });
  expect(view.excess).toBe(10);
});
