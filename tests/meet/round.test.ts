import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { meetDefaults } from "../../src/domain/meet.ts";
import { volts } from "../../src/domain/units.ts";
import { expectedReadings } from "../../src/meet/expected-reading.ts";
import { meterWindows, roundSeconds } from "../../src/meet/meter-windows.ts";
import { lanesWalked, roundOrder, type Stop } from "../../src/meet/round-order.ts";
import { poolFrom } from "../plain-pool.ts";
import { kestrelBay } from "./pool.ts";

const circuit = kestrelBay.circuits[0]!;
const { sound } = kestrelBay.contact;

const permutations = <T>(all: readonly T[]): T[][] =>
  all.length === 0
    ? [[]]
    : all.flatMap((one, i) =>
        permutations([...all.slice(0, i), ...all.slice(i + 1)]).map((rest) => [one, ...rest]),
      );

describe("order of the round", () => {
  test("every point of every circuit once, the timer's first", () => {
    const stops = roundOrder(kestrelBay);
    expect(stops.length).toBe(8 * 3 * 4);
    expect(new Set(stops.map((s) => `${s.lane}/${s.device}/${s.point}`)).size).toBe(96);
    expect(stops.slice(0, 24).every((s) => s.point === "timer")).toBe(true);
    expect(stops.slice(24).every((s) => s.place === "lane")).toBe(true);
  });

  test("within a lane the devices go forth and back, so the lead moves to a neighbour", () => {
    const lane1 = roundOrder(kestrelBay).filter((s) => s.lane === 1 && s.place === "lane");
    expect(lane1.map((s) => s.device)).toEqual([
      ...["touchpad", "button-1", "button-2"],
      ...["button-2", "button-1", "touchpad"],
      ...["touchpad", "button-1", "button-2"],
    ]);
  });

  // Independent: every order of visiting the lanes, starting beside the timer, is tried.
  test("no order of lanes walks less", () => {
    for (const lanes of [
      [1, 2, 3, 10],
      [4, 1, 3, 2],
      [7, 2, 9, 3, 1],
    ]) {
      for (const from of ["first", "last"] as const) {
        const pool = poolFrom({ ...kestrelBay, lanes });
        const start = from === "first" ? Math.min(...lanes) : Math.max(...lanes);
        const walks = permutations(lanes)
          .filter((order) => order[0] === start)
          .map((order) =>
            order.reduce((sum, l, i) => sum + (i === 0 ? 0 : Math.abs(l - order[i - 1]!)), 0),
          );
        expect(lanesWalked(pool, roundOrder(pool, from))).toBe(Math.min(...walks));
      }
    }
  });
});

describe("windows in which the meter stays on", () => {
  const stops = roundOrder(kestrelBay);
  const windows = meterWindows(stops, kestrelBay, meetDefaults, 45);

  test("nothing is lost, nothing is out of order, and none is longer than the meter stays on", () => {
    expect(windows.flatMap((w) => w.stops)).toEqual(stops);
    for (const window of windows) expect(window.seconds).toBeLessThanOrEqual(45);
  });

  // By hand: 45 s hold five readings of 8 s. At the timer 24 readings need 5 windows. A lane's
  // harness takes 24 s and opening its plate 15 s, so no plate reading fits behind it; plate and pod
  // together are six readings, 48 s, one too many: three windows a lane, 5 + 8 * 3.
  test("a pool of eight lanes takes 29 windows, cut where the person stops anyway", () => {
    expect(windows.length).toBe(29);
    for (const { stops: group } of windows.slice(5)) {
      expect(new Set(group.map((s) => s.lane)).size).toBe(1);
      expect(new Set(group.map((s) => s.point)).size).toBe(1);
    }
  });

  // By hand: 96 readings of 8 s, 1 + 7 walks of 6 s, 8 plates of 15 s.
  test("the round takes 936 seconds", () => {
    expect(roundSeconds(stops, kestrelBay, meetDefaults)).toBe(96 * 8 + 8 * 6 + 8 * 15);
  });

  // Independent: every way of cutting the first stops into windows.
  test("no cutting has fewer windows", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 60 }),
        fc.integer({ min: 20, max: 90 }),
        (first, onSeconds) => {
          const some: Stop[] = stops.slice(first, first + 10);
          let least = some.length;
          for (let cuts = 0; cuts < 2 ** (some.length - 1); cuts += 1) {
            const groups: Stop[][] = [[]];
            some.forEach((s, i) => {
              if (i > 0 && (cuts >> (i - 1)) & 1) groups.push([]);
              groups.at(-1)?.push(s);
            });
            // A group's time is the round's time without the way to its first stop.
            const fits = groups.every((group) => {
              const own = roundSeconds(group, kestrelBay, meetDefaults);
              const way = group[0]?.point === "plate" ? meetDefaults.seconds.plateOpening : 0;
              const lanes = new Set(group.filter((s) => s.place === "lane").map((s) => s.lane));
              const mixed = new Set(group.map((s) => s.place)).size > 1;
              return own - way <= onSeconds && lanes.size <= 1 && !mixed;
            });
            if (fits) least = Math.min(least, groups.length);
          }
          expect(meterWindows(some, kestrelBay, meetDefaults, onSeconds).length).toBe(least);
        },
      ),
      { numRuns: 25 },
    );
  });

  test("a meter that goes off faster than one reading gets a window for each", () => {
    expect(meterWindows(stops, kestrelBay, meetDefaults, 5).length).toBe(stops.length);
  });
});

describe("values to expect", () => {
  const meter = kestrelBay.meters[0]!;

  // Independent: 200 000 readings drawn with a linear congruential generator (constants of Knuth's
  // MMIX) and Box-Muller, then sorted.
  test("agree with simulation at every point", () => {
    let state = 42n;
    const uniform = (): number => {
      state = (state * 6364136223846793005n + 1442695040888963407n) & 0xffffffffffffffffn;
      return (Number(state >> 11n) + 0.5) / 2 ** 53;
    };
    const normal = (): number =>
      Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    const draws = 200_000;
    const shown = circuit.path.map(() => new Float64Array(draws));
    const dropped = circuit.path.map(() => new Float64Array(draws));
    for (let d = 0; d < draws; d += 1) {
      const emf = 5 + 0.05 * normal();
      let series = 0;
      circuit.path.forEach((link, k) => {
        series += link.wireOhms + 0.2 * Math.exp(0.8 * normal());
        const v = (emf * 1000) / (1000 + series) + 0.02 * normal();
        shown[k]![d] = Math.round(v / 0.01) * 0.01;
        dropped[k]![d] = shown[0]![d]! - shown[k]![d]!;
      });
    }
    expectedReadings(circuit, sound, meter)?.forEach((expected, k) => {
      const sorted = shown[k]!.sort();
      expect(Math.abs(expected.median - sorted[draws / 2]!)).toBeLessThan(0.006);
      expect(Math.abs(expected.low - sorted[0.025 * draws]!)).toBeLessThan(0.0101);
      expect(Math.abs(expected.high - sorted[0.975 * draws]!)).toBeLessThan(0.0101);
      expect(expected.drop > 0).toBe(k > 0);
      if (k === 0) return;
      const over = dropped[k]!.filter((drop) => drop > expected.drop + 0.0001).length / draws;
      const overLess = dropped[k]!.filter((drop) => drop > expected.drop - 0.0099).length / draws;
      expect(over).toBeLessThan(0.055);
      expect(overLess).toBeGreaterThan(0.045);
    });
  });

  // By hand, without any doubt: 5 * 1000 / (1000 + 3.0 + 4 * 0.2) = 4.981 at the last point.
  test("a pool without doubt gets the divider's own number", () => {
    const sure = { ...circuit, supply: { ...circuit.supply, emfSd: volts(0) } };
    const last = expectedReadings(
      sure,
      { ...sound, logSd: 0.001 },
      { ...meter, noise: volts(1e-4) },
    )?.at(-1);
    expect(last?.median).toBeCloseTo(5000 / 1003.8, 3);
  });

  test("without the meter's load nothing can be expected", () => {
    expect(expectedReadings(circuit, sound, { ...meter, loadOhms: null })).toBeNull();
  });
});
