import { expect, test } from "vitest";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { individualsLimits } from "../../src/history/control-chart.ts";
import { trend } from "../../src/history/trend.ts";
import { findingOf, poolOf, walkOf } from "./synthetic.ts";

const pool = poolOf(1, ["pod"]);

const readingOf = (walk: string, value: number, state: "rest" | "pressed" = "rest"): Reading => ({
  lane: 1,
  device: "touchpad",
  end: null,
  point: "pod",
  volts: volts(value),
  step: volts(0.01),
  takenAt: null,
  walk,
  meter: "deck",
  id: null,
  meterOn: false,
  state,
  by: null,
  note: null,
  line: 2,
});

/**
 * One contact that grows 10 % a week, read to 10 mV; `odd` adds volts to one walk's reading, which that
 * walk's own diagnosis may doubt.
 */
function season(odd: { week: number; volts: number; doubted?: boolean } | null) {
  const walks = Array.from({ length: 30 }, (_, week) => {
    const ohms = 2 * Math.exp(0.095 * week);
    const walk = walkOf(
      7 * week,
      [findingOf(pool, { lane: 1, device: "touchpad", end: null, point: "pod" }, ohms, 0.2)],
      0.6,
    );
    const shown = 5000 / (1000 + 1 + ohms) + (odd?.week === week ? odd.volts : 0);
    const jitter = 0.004 * (((week * 7) % 5) - 2);
    const reading = readingOf(walk.diagnosis.walk, Math.round(100 * (shown + jitter)) / 100);
    const { lane, device, end, point, volts, line } = reading;
    const place = { lane, device, end, point, why: "display-off" as const };
    const isDoubted = odd?.week === week && odd.doubted === true;
    const readAgain = isDoubted ? [{ ...place, shown: { volts, line, doubt: 0.9 } }] : [];
    return {
      ...walk,
      diagnosis: { ...walk.diagnosis, readAgain },
      readings: [reading, readingOf(walk.diagnosis.walk, 0.12, "pressed")],
    };
  });
  return trend(pool, walks, []).circuits[0]!;
}

test("a fall that growth explains raises no flag, though the raw readings leave their own limits", () => {
  const [chart] = season(null).charts;
  expect(chart!.readings).toHaveLength(30);
  expect(chart!.readings.filter(({ flagged }) => flagged)).toEqual([]);
  const raw = chart!.readings.map((reading) => reading.volts);
  const limits = individualsLimits(raw)!;
  expect(raw.some((value) => value < limits.low)).toBe(true);
});

test("a step that growth does not explain is flagged, and nothing else", () => {
  const [chart] = season({ week: 20, volts: -0.12 }).charts;
  const flagged = chart!.readings.filter((reading) => reading.flagged);
  expect(flagged.map(({ day }) => day)).toEqual([140]);
});

test("what its own walk says does not show the path is no step: it is left out and counted", () => {
  const [chart] = season({ week: 20, volts: -0.12, doubted: true }).charts;
  expect(chart!.readings.filter(({ flagged }) => flagged)).toEqual([]);
  expect(chart!.readings.map(({ day }) => day)).not.toContain(140);
  expect(chart!.doubted).toBe(1);
});

test("the falling readings have a trend that needs no line", () => {
  const { fall } = season(null);
  expect(fall!.slope).toBeLessThan(0);
  expect(fall!.high).toBeLessThan(0);
  expect(fall!.pValue).toBeLessThan(1e-6);
});
