import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { nextOf, nextReadings } from "../../src/diagnosis/next-reading.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";

const pool = smallPool([1, 2, 3], ["touchpad", "button-1"]);
const points = ["timer", "harness", "plate", "pod"];

const anyRows = fc.array(
  fc.record({
    lane: fc.constantFrom(1, 2, 3),
    device: fc.constantFrom("touchpad", "button-1"),
    point: fc.constantFrom(...points),
    shown: fc.integer({ min: 0, max: 505 }).map((k) => k / 100),
  }),
  { maxLength: 6 },
);
const asSheet = (rows: readonly { lane: number; device: string; point: string; shown: number }[]) =>
  sheet(rows.map(({ lane, device, point, shown }): Shown => [lane, device, point, shown]));

describe("nextReadings", () => {
  it("never promises less than nothing or more than a yes or no can hide", () => {
    fc.assert(
      fc.property(anyRows, (rows) => {
        for (const { bits, seconds, bitsPerSecond } of nextReadings(pool, asSheet(rows), 96)
          .readings) {
          expect(bits).toBeGreaterThan(0);
          expect(bits).toBeLessThanOrEqual(1);
          expect(bitsPerSecond).toBeCloseTo(bits / seconds, 12);
        }
      }),
      { numRuns: 15, seed: 7 },
    );
  });

  it("asks the same of a diagnosis that stands, whatever else that explains", () => {
    const readings = sheet([
      [1, "touchpad", "pod", 4.99],
      [2, "touchpad", "plate", 4.97],
      [2, "touchpad", "pod", 4.76],
    ]);
    const advice = nextOf(pool, readings, diagnose(pool, readings), 96);
    expect(advice).toEqual(nextReadings(pool, readings, 96));
    expect(advice.readings.some(({ lane }) => lane === 2)).toBe(true);
  });

  it("promises from nothing the entropy of a fault on the path", () => {
    // P(faulty) by the first version's table, open being a tenth of fouled, connectors by themselves.
    const clean = (fouled: number, contaminated: number): number =>
      1 - 1.1 * ((1 - contaminated) * fouled + contaminated * 0.7);
    const sound = clean(0.01, 0.02) * clean(0.01, 0.04) * clean(0.02, 0.08) * (1 - 1.1 * 0.12);
    const entropy = -sound * Math.log2(sound) - (1 - sound) * Math.log2(1 - sound);
    const { readings } = nextReadings(pool, [], 96);
    expect(readings).toHaveLength(6);
    for (const { bits, point } of readings) {
      expect(bits).toBeCloseTo(entropy, 9);
      expect(point).toBe("pod");
    }
  });

  it("asks for the last point of circuits that nobody read, the nearest lane first", () => {
    const { readings } = nextReadings(pool, sheet([[2, "touchpad", "pod", 4.99]]), 96);
    expect(readings).toHaveLength(5);
    expect(readings[0]).toMatchObject({ lane: 2, device: "button-1", point: "pod" });
    expect(readings.every(({ lane, device }) => lane !== 2 || device !== "touchpad")).toBe(true);
  });

  it("does not ask to repeat a decisive reading, but does ask to repeat one that may be wrong", () => {
    const podAgain = (rows: readonly Shown[]) =>
      nextReadings(pool, sheet([...rows]), 96).readings.find(
        ({ lane, device, point }) => lane === 1 && device === "touchpad" && point === "pod",
      );
    expect(podAgain([[1, "touchpad", "pod", 4.4]])).toBeUndefined();
    // A zero: the path may be open, or the display was off.
    expect(podAgain([[1, "touchpad", "pod", 0]])?.bits).toBeGreaterThan(0.5);
  });

  it("tells suspects of a weak circuit apart before it stops, where that halves them best", () => {
    const pads = smallPool([1, 2, 3], ["touchpad"]);
    const own: readonly Shown[] = [
      [1, "touchpad", "pod", 5],
      [2, "touchpad", "pod", 4.5],
      [3, "touchpad", "pod", 5],
    ];
    const walk = diagnose(pads, sheet([...own]));
    expect(walk.circuits.map(({ verdict }) => verdict)).toEqual(["sound", "weak", "sound"]);
    const fault = (point: string): number =>
      1 - (walk.contacts.find((one) => one.lane === 2 && one.point === point)?.sound ?? 1);
    // The bits of a cut at each place, one fault given, by hand: which of the suspects lie behind it.
    const suspects = points.filter((point) => fault(point) > 0.05);
    expect(suspects.length).toBeGreaterThan(1);
    const bits = suspects.slice(0, -1).map((_, at) => {
      const [near, far] = [suspects.slice(0, at + 1), suspects.slice(at + 1)].map((all) =>
        all.reduce((sum, point) => sum + fault(point), 0),
      );
      const p = far! / (near! + far!);
      return Math.min(1, near! + far!) * -(p * Math.log2(p) + (1 - p) * Math.log2(1 - p));
    });
    const best = suspects[bits.indexOf(Math.max(...bits))];
    expect(best).toBe("plate");
    const { readings, stop } = nextReadings(pads, sheet([...own]), 96);
    expect(stop).toBeNull();
    expect(readings).toMatchObject([{ lane: 2, point: "plate", act: "read" }]);
    expect(readings[0]?.bits).toBeCloseTo(Math.max(...bits), 9);
    const told: readonly Shown[] = [...own, [2, "touchpad", "plate", 4.98]];
    expect(nextReadings(pads, sheet([...told]), 96)).toMatchObject({
      readings: [],
      stop: "all-settled",
    });
  });

  it("stops once every pod reads full", () => {
    const rows = pool.lanes.flatMap((lane) =>
      pool.devices.map((device): Shown => [lane, device, "pod", 5]),
    );
    expect(nextReadings(pool, sheet(rows))).toEqual({
      readings: [],
      unplug: [],
      stop: "all-settled",
    });
  });

  it("does not depend on the order of the readings, but for the way to walk", () => {
    const still = { reading: 8, lane: 0, moving: 10, opening: {} };
    const bits = (of: readonly Reading[]) =>
      nextReadings(pool, of, 96, still)
        .readings.map((one) => [`${one.lane} ${one.device} ${one.point}`, one.bits] as const)
        .sort(([a], [b]) => a.localeCompare(b));
    fc.assert(
      fc.property(anyRows, (rows) => {
        const readings = asSheet(rows);
        const [forward, backward] = [bits(readings), bits(readings.toReversed())];
        expect(backward.map(([place]) => place)).toEqual(forward.map(([place]) => place));
      }),
      { numRuns: 10, seed: 11 },
    );
  });
});

describe("acts other than reading", () => {
  const text = [
    "pool: deck",
    "lanes: 1",
    "devices: [pad]",
    "supply: { source_ohms: 0 }",
    "meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]",
    "limit: { volts: 4.8, meter: deck }",
  ].join("\n");
  const deck = readPool(text, "pool.yaml");
  if (!deck.ok) throw new Error("not a pool");
  const own = (rows: readonly Shown[]) => nextReadings(deck.value, sheet([...rows]), 96);
  const loose = own([
    [1, "pad", "pod", 4.98],
    [1, "pad", "pod", 2.1],
    [1, "pad", "pod", 4.97],
  ]);

  it("moves the plug of a contact that may come and go", () => {
    expect(loose.readings.map(({ act }) => act)).toContain("move");
  });

  it("promises of a move no more than a channel that shows 7 of 10 can carry", () => {
    // The capacity of a Z-channel: its mutual information at the best p, by a table of p (0.504 bit).
    const h = (p: number): number =>
      p <= 0 || p >= 1 ? 0 : -p * Math.log2(p) - (1 - p) * Math.log2(1 - p);
    const capacity = Math.max(
      ...Array.from({ length: 1001 }, (_, i) => h(0.0007 * i) - 0.001 * i * h(0.7)),
    );
    const moved = loose.readings.filter(({ act }) => act === "move");
    expect(moved.length).toBeGreaterThan(0);
    for (const { bits } of moved) expect(bits).toBeLessThanOrEqual(capacity);
  });

  it("unplugs no device whose circuit reads sound", () => {
    expect(own([[1, "pad", "pod", 4.99]]).unplug).toEqual([]);
  });
});
