import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { expectedBits, mutualBits } from "../../src/diagnosis/expected-bits.ts";
import { nextMeter } from "../../src/diagnosis/next-in-chain.ts";
import { nextReadings } from "../../src/diagnosis/next-reading.ts";
import { circuitNodes, solve } from "../../src/diagnosis/solve.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { PlainLink as Link, TestPool as Pool } from "../plain-pool.ts";
import { link, type Shown, sheet, smallPool } from "../reference/builders.ts";
import { normalBelow, normalQuantile } from "../reference/normal.ts";
import { partOf, readPart } from "./part.ts";

/** Mutual information of the rows and columns of counts, by the function under test. */
const gain = (counts: readonly (readonly number[])[]): number => {
  const total = counts.flat().reduce((sum, n) => sum + n, 0);
  const joint = Float64Array.from(counts.flat(), (n) => n / total);
  return mutualBits(joint, new Float64Array(counts[0]!.length), 0);
};
/** Counts by value, each [yes, no], as rows yes and no. */
const byAnswer = (values: readonly (readonly [number, number])[]) => [
  values.map(([yes]) => yes),
  values.map(([, no]) => no),
];

describe("mutualBits", () => {
  // G8-04, verified: Quinlan 1986 / Mitchell 1997 ch. 3, play tennis: information gains.
  it.each([
    [
      "outlook",
      0.2467,
      [
        [2, 3],
        [4, 0],
        [3, 2],
      ],
    ],
    [
      "humidity",
      0.1518,
      [
        [3, 4],
        [6, 1],
      ],
    ],
    [
      "wind",
      0.0481,
      [
        [6, 2],
        [3, 3],
      ],
    ],
    [
      "temperature",
      0.0292,
      [
        [2, 2],
        [4, 2],
        [3, 1],
      ],
    ],
  ] as const)("is the published information gain of %s", (_, expected, values) => {
    expect(Math.abs(gain(byAnswer(values)) - expected)).toBeLessThan(6e-5);
  });

  // G8-04: entropy of 9 yes and 5 no; what tells all tells the entropy.
  it("is the entropy where the value gives the answer away", () => {
    expect(
      Math.abs(
        gain([
          [9, 0],
          [0, 5],
        ]) - 0.9403,
      ),
    ).toBeLessThan(6e-5);
  });
});

/** Chance of the displayed value, eq. (4) of the model: noise 0.02 V, step 0.01 V, misread 0.01. */
const shownChances = (trueVolts: number): Map<number, number> => {
  const chances = new Map<number, number>();
  const middle = Math.round(trueVolts * 100);
  for (let k = Math.max(0, middle - 16); k <= middle + 16; k++) {
    const upper = normalBelow((k / 100 + 0.005 - trueVolts) / 0.02);
    const lower = k === 0 ? 0 : normalBelow((k / 100 - 0.005 - trueVolts) / 0.02);
    chances.set(k, upper - lower);
  }
  return chances;
};

/** Equal slices of one log-normal: their middles. */
const slices = (medianOhms: number, logSd: number, count: number): number[] =>
  Array.from(
    { length: count },
    (_, i) => medianOhms * Math.exp(logSd * normalQuantile((i + 0.5) / count)),
  );

/** Values of one contact's resistance, whether it is faulty then, and its probability. */
const contactCases = (fouled: number, count: number) => [
  ...slices(0.2, 0.8, count).map((r) => ({ r, faulty: 0, p: (1 - 1.1 * fouled) / count })),
  ...slices(60, 1.2, count).map((r) => ({ r, faulty: 1, p: fouled / count })),
  { r: Number.POSITIVE_INFINITY, faulty: 1, p: 0.1 * fouled },
];

/**
 * The information of a reading at `point` about the pattern of one or two contacts, by summing over
 * their resistances, the EMF and the displayed values. `seen` is a value shown before at a point.
 */
const bruteBits = (
  chain: readonly Link[],
  emfs: readonly number[],
  point: number,
  seen?: { readonly point: number; readonly shown: number },
  count = 160,
): number => {
  const bins = 560;
  const joint = new Float64Array((1 << chain.length) * bins);
  const wires = chain.map((_, i) => chain.slice(0, i + 1).reduce((sum, l) => sum + l.wireOhms, 0));
  const second = chain[1] ? contactCases(chain[1].fouled, count) : [{ r: 0, faulty: 0, p: 1 }];
  for (const a of contactCases(chain[0]!.fouled, count)) {
    for (const b of second) {
      const pattern = a.faulty | (b.faulty << 1);
      for (const emf of emfs) {
        const at = (i: number) => (emf * 1000) / (1000 + wires[i]! + a.r + (i === 1 ? b.r : 0));
        let p = (a.p * b.p) / emfs.length;
        if (seen !== undefined) {
          const right = shownChances(at(seen.point)).get(Math.round(seen.shown * 100)) ?? 0;
          p *= 0.99 * right + (0.01 * 0.01) / 5.5;
        }
        for (const [k, chance] of shownChances(at(point))) joint[pattern * bins + k]! += p * chance;
      }
    }
  }
  const total = joint.reduce((sum, p) => sum + p, 0);
  const rows = Array.from({ length: 1 << chain.length }, (_, row) => {
    const own = joint.subarray(row * bins, (row + 1) * bins).map((p) => p / total);
    const mass = own.reduce((sum, p) => sum + p, 0);
    return own.map((p, k) => 0.99 * p + (k < 550 ? (mass * 0.01) / 550 : 0));
  });
  const entropy = (ps: Iterable<number>): number =>
    [...ps].reduce((sum, p) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);
  const column = Array.from({ length: bins }, (_, k) => rows.reduce((sum, r) => sum + r[k]!, 0));
  const row = rows.map((own) => own.reduce((sum, p) => sum + p, 0));
  return entropy(row) + entropy(column) - rows.reduce((sum, own) => sum + entropy(own), 0);
};

const certain = {
  emf: volts(5),
  emfSd: volts(0),
  sourceOhms: smallPool([1], ["a"]).supply.sourceOhms,
};
const oneLink = [link("pod", "device", 0.3, 0, 0.12)];
const twoLinks = [link("plate", "device", 2, 0, 0.3), link("pod", "device", 0.3, 0, 0.12)];

const bitsAt = (pool: Pool, readings: readonly Reading[], point: string): number =>
  nextReadings(pool, readings, 96).readings.find((one) => one.point === point)?.bits ?? 0;

/** What a reading of the only circuit is worth, by point, whether or not it would be proposed. */
function bitsByPoint(pool: Pool, readings: readonly Reading[]): readonly number[] {
  const { lanes, emf } = solve(readPart(pool, readings, true), true);
  const model = lanes[0]!.circuits[0]!;
  return expectedBits(model, circuitNodes(emf, 0, 0), nextMeter(partOf(pool)));
}

describe("expected bits against brute force", () => {
  // Computed here, by summing over resistances and displayed values, with nothing of src.
  it("of one contact, the EMF certain", () => {
    const pool = smallPool([1], ["a"], { chain: oneLink, supply: certain });
    const brute = bruteBits(oneLink, [5], 0, undefined, 20_000);
    expect(Math.abs(bitsAt(pool, [], "pod") / brute - 1)).toBeLessThan(0.02);
  });

  it("of one contact, the EMF as little known as the model's default", () => {
    const pool = smallPool([1], ["a"], { chain: oneLink });
    const brute = bruteBits(
      oneLink,
      slices(1, 0.05, 60).map((x) => 5 + Math.log(x)),
      0,
      undefined,
      1000,
    );
    expect(Math.abs(bitsAt(pool, [], "pod") / brute - 1)).toBeLessThan(0.02);
  });

  it.each([0, 1])("of two contacts, from nothing, at point %i", (point) => {
    const pool = smallPool([1], ["a"], { chain: twoLinks, supply: certain });
    const brute = bruteBits(twoLinks, [5], point);
    expect(Math.abs(bitsAt(pool, [], twoLinks[point]!.point) / brute - 1)).toBeLessThan(0.02);
  });

  it.each([
    [0, 4.71],
    [1, 4.71],
    [0, 4.95],
    [1, 4.95],
  ])("of two contacts, at point %i once the pod shows %d V", (point, shown) => {
    const pool = smallPool([1], ["a"], { chain: twoLinks, supply: certain });
    const readings = sheet([[1, "a", "pod", shown]]);
    const brute = bruteBits(twoLinks, [5], point, { point: 1, shown }, 120);
    const bits = bitsByPoint(pool, readings)[point]!;
    expect(Math.abs(bits - brute)).toBeLessThan(0.02 * brute + 0.002);
  });
});

const pool = smallPool([1, 2, 3], ["touchpad", "button-1"]);
const points = ["timer", "harness", "plate", "pod"];
const entropyBits = (p: number): number => -p * Math.log2(p) - (1 - p) * Math.log2(1 - p);

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
  it("never promises less than nothing or more than four contacts can hide", () => {
    fc.assert(
      fc.property(anyRows, (rows) => {
        for (const { bits } of nextReadings(pool, asSheet(rows), 96).readings) {
          expect(bits).toBeGreaterThanOrEqual(0);
          expect(bits).toBeLessThanOrEqual(4);
        }
      }),
      { numRuns: 15, seed: 7 },
    );
  });

  it("promises no more from nothing than the prior's entropy", () => {
    // P(faulty) by the model's table, open being a tenth of fouled.
    const clean = (fouled: number, contaminated: number): number =>
      1.1 * ((1 - contaminated) * fouled + contaminated * 0.7);
    const faulty = [clean(0.01, 0.02), clean(0.01, 0.04), clean(0.02, 0.08), 1.1 * 0.12];
    const most = faulty.reduce((sum, p) => sum + entropyBits(p), 0);
    const { readings } = nextReadings(pool, [], 96);
    expect(readings.length).toBeGreaterThan(0);
    for (const { bits } of readings) expect(bits).toBeLessThan(most);
  });

  it("gives lanes that nobody has read the same bits", () => {
    const { readings } = nextReadings(pool, sheet([[2, "touchpad", "pod", 4.99]]), 96);
    for (const device of pool.devices) {
      for (const point of points) {
        const [one, other] = [1, 3].map(
          (lane) =>
            readings.find((r) => r.lane === lane && r.device === device && r.point === point)?.bits,
        );
        expect(one).toBeDefined();
        expect(other).toBeCloseTo(one!, 9);
      }
    }
  });

  it("does not ask to repeat a decisive reading, but does ask to repeat one that may be wrong", () => {
    const podAgain = (volts: number) =>
      nextReadings(pool, sheet([[1, "touchpad", "pod", volts]]), 96).readings.find(
        ({ lane, device, point }) => lane === 1 && device === "touchpad" && point === "pod",
      );
    expect(podAgain(4.4)).toBeUndefined();
    // A zero: the path may be open, or the display was off.
    expect(podAgain(0)?.bits).toBeGreaterThan(0.5);
  });

  it("does not depend on the order of the readings, but for the way to walk", () => {
    const still = { reading: 8, lane: 0, opening: {} };
    fc.assert(
      fc.property(anyRows, (rows) => {
        const readings = asSheet(rows);
        const bits = (of: readonly Reading[]) =>
          nextReadings(pool, of, 96, still)
            .readings.map((one) => [`${one.lane} ${one.device} ${one.point}`, one.bits] as const)
            .sort(([a], [b]) => a.localeCompare(b));
        const [forward, backward] = [bits(readings), bits(readings.toReversed())];
        expect(backward.map(([place]) => place)).toEqual(forward.map(([place]) => place));
        for (const [i, [, value]] of forward.entries())
          expect(backward[i]![1]).toBeCloseTo(value, 6);
      }),
      { numRuns: 10, seed: 11 },
    );
  });

  it("stops once every pod reads full", () => {
    const rows = pool.lanes.flatMap((lane) =>
      pool.devices.map((device): Shown => [lane, device, "pod", 5]),
    );
    expect(nextReadings(pool, sheet(rows))).toEqual({ readings: [], stop: "all-settled" });
  });
});
