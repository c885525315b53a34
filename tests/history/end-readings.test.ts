import { describe, expect, test } from "vitest";
import { dayText } from "../../src/domain/calendar.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { DatedWalk } from "../../src/history/contact-history.ts";
import { trend } from "../../src/history/trend.ts";
import { WeightedValues } from "../../src/history/weighted-values.ts";
import { diagnoseSeason } from "../../src/season/diagnose-season.ts";
import { findingOf, poolOf, random, walkOf, workOf } from "./synthetic.ts";

/** Two lanes of three points; lane 1's pod has 10 ohms at first and a fifth more every week. */
const pool = poolOf(2, ["timer", "plate", "pod"]);
const WEEKS = 10;

/** What the meter shows: Ohm's law on 5 V, its noise, its steps; `shown` may say otherwise. */
function season(shown: (week: number, lane: number, point: string) => number | null = () => null) {
  const { normal } = random(7);
  const readings: Reading[] = [];
  for (let week = 0; week < WEEKS; week++) {
    const day = dayText(7 * week);
    for (const lane of [1, 2]) {
      let path = 0;
      for (const { point, wireOhms } of pool.chain) {
        const film = lane === 1 && point === "pod" ? 10 * 1.2 ** week : 0.2;
        path += wireOhms + film;
        const read = (5 * 1000) / (1000 + path) + 0.01 * normal();
        readings.push({
          ...{
            lane,
            device: "touchpad",
            end: null,
            point,
            walk: day,
            meter: "deck",
            state: "rest",
          },
          volts: volts(shown(week, lane, point) ?? Math.round(100 * read) / 100),
          ...{ step: volts(0.01), takenAt: { text: day, day, seconds: null } },
          ...{ id: null, meterOn: false, by: null, note: null, line: readings.length + 2 },
        });
      }
    }
  }
  const walks = diagnoseSeason(pool, readings) as readonly DatedWalk[];
  const { circuits } = trend(pool, walks, []);
  return (lane: number) => circuits.find((circuit) => circuit.lane === lane)!;
}

const plain = season();

describe("a forecast agrees with what the path as a whole has read", () => {
  test("a sound path reads what it has read: 5 V less three wires of an ohm, to 15 mV", () => {
    const { volts: now } = plain(2);
    const sound = 5000 / (1003 + 3 * 0.2);
    expect(Math.abs(now.median - sound)).toBeLessThan(0.015);
    expect(now.low).toBeLessThan(sound);
    expect(now.high).toBeGreaterThan(sound);
  });

  test("a growing one is where Ohm's law has it", () => {
    const { volts: now } = plain(1);
    const true_ = 5000 / (1003 + 0.4 + 10 * 1.2 ** (WEEKS - 1));
    expect(now.low).toBeLessThan(true_);
    expect(now.high).toBeGreaterThan(true_);
  });

  test.each([3, 5, 8])(
    "one walk that read 2.00 V everywhere, the one of week %i, moves nothing far",
    (odd) => {
      const circuit = season((week) => (week === odd ? 2 : null))(2);
      expect(Math.abs(circuit.volts.median - plain(2).volts.median)).toBeLessThan(0.02);
      expect(circuit.crossing.low).toBeGreaterThan(circuit.from + 7);
    },
  );

  test.each([3, 5])(
    "a path that has been dead for the last %i walks is under its limit now",
    (dead) => {
      const last = (week: number): boolean => week >= WEEKS - dead;
      const circuit = season((week, lane, point) =>
        last(week) && lane === 2 && point === "pod" ? 0 : null,
      )(2);
      expect(circuit.crossing).toEqual({
        low: circuit.from,
        median: circuit.from,
        high: circuit.from,
      });
      expect(circuit.volts.high).toBeLessThan(0.1);
      expect(circuit.driver).toBe("pod");
    },
  );
});

test("work dated decades ahead does not move the day that a forecast starts from", () => {
  const plate = { lane: 1, device: "touchpad", end: null, point: "plate" };
  const walks = [0, 7].map((day) => walkOf(day, [findingOf(pool, plate, 0.2, 2)], 5));
  const from = (day: number): number =>
    trend(pool, walks, [workOf(day, "cleaned", "plate", 1)]).circuits[0]!.from;
  expect(from(9)).toBe(9);
  expect(from(7 + 365 * 36)).toBe(7);
});

test("the next look comes before the risk where walks are far apart", () => {
  for (const lane of [1, 2]) {
    const { crossing, lookAgain, from } = plain(lane);
    expect(lookAgain).toBeLessThanOrEqual(Math.max(from + 7, crossing.low));
  }
});

test("quantiles of weighted values are those of each value written down so many times", () => {
  const found = new WeightedValues(Float64Array.of(3, 1, Infinity, 2), Float64Array.of(1, 4, 2, 3));
  // 1 1 1 1 2 2 2 3 inf inf
  expect([0.1, 0.4, 0.41, 0.7, 0.8, 0.81].map((p) => found.quantile(p))).toEqual([
    1,
    1,
    2,
    2,
    3,
    Infinity,
  ]);
  expect(found.shareUpTo(2.5)).toBeCloseTo(0.7, 12);
  expect(found.shareUpTo(0)).toBe(0);
});
