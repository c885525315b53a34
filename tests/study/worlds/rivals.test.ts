import { expect, test } from "vitest";
import { seededRandom } from "../random.ts";
import { drawRival, namesOneOf, type RivalName, type RivalWalk } from "./rivals.ts";

const walks = (name: RivalName, n: number): RivalWalk[] => {
  const { uniform } = seededRandom(21);
  return Array.from({ length: n }, () => drawRival(name, uniform));
};

test("a stuck switch moves its own circuit's values, and names that circuit alone", () => {
  for (const { circuits, moved, fromSeries } of walks("stuck", 20)) {
    expect(circuits.length).toBe(1);
    expect(moved).toBeGreaterThanOrEqual(0);
    expect(fromSeries).not.toBeNull();
  }
});

// The nominal supply is 5 V with a spread of 0.05 V; what is drawn is 4.6 to 4.8 V, so that against
// 4.9 V, two spreads under the nominal, every sound reading lies at least 0.09 V too low.
test("a low supply moves every value by a tenth of a volt or more", () => {
  for (const { moved, circuits } of walks("supply-low", 20)) {
    expect(moved).toBeGreaterThan(0.09);
    expect(circuits).toEqual([]);
  }
});

test("a mended file differs from the file where the slip shows, and only the pool file by the load", () => {
  for (const { readings, mended, moved } of walks("rows-swapped", 20)) {
    if (moved > 0.2) expect(mended!.readings).not.toBe(readings);
  }
  for (const { pool, readings, mended } of walks("load-off-by-2", 5)) {
    expect(mended!.readings).toBe(readings);
    expect(pool).toContain("load_ohms: 1000,");
    expect(mended!.pool).toMatch(/load_ohms: (500|2000),/);
  }
});

test("displays that went off leave zeros, timed, and no other slip", () => {
  const [walk] = walks("meter-off", 1);
  expect(walk!.readings).toMatch(/,0\.00,2026-05-02T/);
  expect(walk!.mended).toBeNull();
  expect(walk!.moved).toBeGreaterThan(3);
});

test("an explanation is right where it names one of the circuits, or none is to be named", () => {
  const circuits = [{ lane: 3, device: "button-1" }];
  expect(namesOneOf(circuits, 3, "button-1")).toBe(true);
  expect(namesOneOf(circuits, 3, "button-2")).toBe(false);
  expect(namesOneOf([], null, null)).toBe(true);
});

// A leak at the end of a path behind a source loses its volts in the source, at every point alike:
// near the timer that looks like one contact at the outlet. A stuck switch of a few ohms does not:
// its last point lies at nearly no volts, points before it in between.
test("a leak can be hidden by a contact in series, a stuck switch cannot", () => {
  const leaks = walks("leaking", 40).filter(({ moved }) => moved > 0.1);
  const hidden = leaks.filter(({ fromSeries }) => fromSeries! < 9.2);
  expect(hidden.length).toBeGreaterThan(leaks.length / 3);
  const stuck = walks("stuck", 40).filter(({ moved }) => moved > 0.1);
  expect(stuck.filter(({ fromSeries }) => fromSeries! < 9.2).length).toBeLessThan(stuck.length / 4);
});
