import fc from "fast-check";
import { expect, test } from "vitest";
import { futures, HORIZON_WEEKS, typicalEmf, weeksUntil } from "../../src/history/forecast.ts";
import { trend } from "../../src/history/trend.ts";
import { inventSeason, type SeasonPlan } from "./season.ts";
import { findingOf, poolOf, random, walkOf } from "./synthetic.ts";

test("the week of crossing is the one that bisection finds", () => {
  const line = fc.tuple(
    fc.double({ min: -3, max: 5, noNaN: true }),
    fc.double({ min: -0.3, max: 0.4, noNaN: true }),
  );
  fc.assert(
    fc.property(fc.array(line, { minLength: 1, maxLength: 5 }), (lines) => {
      const room = 40;
      const sum = (weeks: number): number =>
        lines.reduce((total, [now, growth]) => total + Math.exp(now + growth * weeks), 0);
      const found = weeksUntil(
        Float64Array.from(lines, ([now]) => now),
        Float64Array.from(lines, ([, growth]) => growth),
        room,
      );
      if (sum(0) >= room) expect(found).toBe(0);
      else if (sum(HORIZON_WEEKS) < room) expect(found).toBe(Infinity);
      else {
        // A sum of exponentials is convex: it is under the room before the crossing, over it after.
        expect(sum(Math.max(0, found - 0.01))).toBeLessThanOrEqual(room * (1 + 1e-9));
        expect(sum(found + 0.01)).toBeGreaterThanOrEqual(room * (1 - 1e-9));
      }
    }),
  );
});

test("futures are spread evenly: the mean of each coordinate is a half or zero, to 1 %", () => {
  const table = futures(2);
  const rows = table.length / 5;
  const sums = [0, 0, 0, 0, 0].map((_, d) => {
    let sum = 0;
    for (let n = 0; n < rows; n++) sum += table[n * 5 + d]!;
    return sum / rows;
  });
  for (const d of [0, 2]) expect(Math.abs(sums[d]! - 0.5)).toBeLessThan(0.005);
  for (const d of [1, 3, 4]) expect(Math.abs(sums[d]!)).toBeLessThan(0.01);
});

test("one odd walk does not move the supply's typical EMF", () => {
  const at = (median: number) => ({ median, low: median - 0.02, high: median + 0.02 });
  const usual = [4.98, 4.99, 5, 5.01, 5.02].map(at);
  expect(typicalEmf(usual, 0).volts).toBe(5);
  expect(typicalEmf([...usual.slice(1), at(3.2)], 0).volts).toBeCloseTo(5, 1);
});

const plan: SeasonPlan = {
  lanes: 4,
  growth: { plate: 0.15, pod: 0.12 },
  betweenContacts: 0.03,
  scatter: 0.1,
  meterError: 0.2,
  weeks: 30,
};

test("dates come in order, and a look is due before the risk is a tenth", () => {
  const season = inventSeason(plan, 5);
  for (const circuit of trend(season.pool, season.walks, season.work).circuits) {
    expect(circuit.crossing.low).toBeLessThanOrEqual(circuit.crossing.median);
    expect(circuit.crossing.median).toBeLessThanOrEqual(circuit.crossing.high);
    expect(circuit.lookAgain).toBeGreaterThan(circuit.from);
    expect(circuit.lookAgain).toBeLessThanOrEqual(Math.max(circuit.crossing.low, circuit.from + 7));
    expect((circuit.lookAgain - circuit.from) % 7).toBe(0);
  }
});

test("a path over its limit has crossed already; one that never changes is not in sight", () => {
  const pool = poolOf(2, ["pod"]);
  const find = (lane: number, ohms: number) =>
    findingOf(pool, { lane, device: "touchpad", point: "pod" }, ohms, ohms / 10);
  const walks = Array.from({ length: 104 }, (_, week) =>
    walkOf(7 * week, [find(1, 150), find(2, 3)], 1),
  );
  const { circuits } = trend(pool, walks, []);
  const [bad, good] = [1, 2].map((lane) => circuits.find((circuit) => circuit.lane === lane)!);
  expect(bad!.crossing.median).toBe(bad!.from);
  expect(bad!.volts.median).toBeCloseTo(5 / 1.151, 1);
  expect(good!.crossing.median).toBe(Infinity);
  expect(good!.volts.median).toBeCloseTo(5 / 1.004, 2);
});

test("75 to 85 % of 1,000 invented paths cross within their 80 % interval, half before its median", () => {
  // Seasons are drawn from what the forecast assumes before any walk (growth 0.11, give or take 0.1),
  // on meters from coarse to fine; the truth is the invented line itself, found by bisection.
  const { normal } = random(2026);
  const counts = { paths: 0, within: 0, early: 0 };
  const meterErrors = [5, 2, 1, 0.3];
  for (let seed = 1; seed <= 250; seed++) {
    const growth = { plate: 0.11 + 0.1 * normal(), pod: 0.11 + 0.1 * normal() };
    const meterError = meterErrors[seed % 4]!;
    const drawn = { ...plan, growth, betweenContacts: 0.05, scatter: 0.15, meterError, weeks: 26 };
    const season = inventSeason(drawn, seed);
    for (const { lane, from, crossing } of trend(season.pool, season.walks, season.work).circuits) {
      const truth = season.crossing.get(Number(lane))!;
      const seen = truth > from + 7 * HORIZON_WEEKS ? Infinity : truth;
      counts.paths += 1;
      if (crossing.low <= seen && seen <= crossing.high) counts.within += 1;
      if (seen < crossing.median) counts.early += 1;
      if (seen === crossing.median) counts.early += 0.5;
    }
  }
  expect(counts.paths).toBe(1000);
  expect(counts.within).toBeGreaterThanOrEqual(750);
  expect(counts.within).toBeLessThanOrEqual(850);
  expect(counts.early).toBeGreaterThan(400);
  expect(counts.early).toBeLessThan(600);
});
