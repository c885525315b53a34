import { expect, test } from "vitest";
import { nextOf, type ReadingTimes } from "../../src/diagnosis/next-reading.ts";
import type {
  CircuitFinding,
  ConnectorFinding,
  ContactFinding,
  PlaceToRead,
} from "../../src/domain/findings.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { steady } from "../made-findings.ts";
import { placeOf } from "../plain-pool.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";

/**
 * The advice from findings as they may come, all entropies by a table of H(p) = -p lb p - (1-p) lb (1-p):
 * H(0.5) = 1, H(0.25) = 0.811278, H(0.35) = 0.934068, H(0.7) = 0.881291, H(0.1) = 0.468996 bit.
 */
const pool = smallPool([1, 2, 3], ["pad"]);
const points = ["timer", "harness", "plate", "pod"];
const times: ReadingTimes = { reading: 8, lane: 3, moving: 10, opening: { plate: 30 } };

const nameAt = (lane: number) => ({ lane, device: "pad", end: null });
const settled = (lane: number): CircuitFinding => ({
  ...nameAt(lane),
  ...{ verdict: "sound", reason: "within-limit", underLimit: 0, conducting: [] },
});
const doubted = (
  lane: number,
  underLimit: number | null,
  conducting: CircuitFinding["conducting"] = [],
): CircuitFinding => ({
  ...nameAt(lane),
  ...{ verdict: "read-again", reason: "near-limit", underLimit, conducting },
});
const weak = (lane: number): CircuitFinding => ({
  ...nameAt(lane),
  ...{ verdict: "weak", reason: "under-limit", underLimit: 1, conducting: [] },
});
const contact = (
  lane: number,
  point: string,
  of: Partial<ContactFinding> = {},
): ContactFinding => ({
  ...{ ...nameAt(lane), point, sound: 1, fouled: 0, open: 0, ...steady },
  ...{ ohms: { median: 0.2, low: 0.1, high: 0.4 }, voltsLost: 0 },
  ...of,
});
const path = (lane: number, of: Readonly<Record<string, Partial<ContactFinding>>> = {}) =>
  points.map((point) => contact(lane, point, of[point]));
const again = (lane: number, point: string, doubt: number | null = null): PlaceToRead => ({
  ...{ ...nameAt(lane), point, why: "near-limit" },
  shown: doubt === null ? null : { volts: 4.9, line: 2, doubt },
});

interface Made {
  readonly circuits: readonly CircuitFinding[];
  readonly contacts?: readonly ContactFinding[];
  readonly connectors?: readonly ConnectorFinding[];
  readonly readAgain?: readonly PlaceToRead[];
}
const advise = (made: Made, rows: readonly Shown[] = [], most = 96, at = times) => {
  const contacts = made.contacts ?? [1, 2, 3].flatMap((lane) => path(lane));
  return nextOf(pool, sheet(rows), { connectors: [], readAgain: [], ...made, contacts }, most, at);
};
const told = ({ readings, unplug }: ReturnType<typeof advise>) =>
  [...readings, ...unplug].map(({ lane, point, act }) => `${lane} ${point} ${act}`);
const rest = [settled(2), settled(3)];

test("a verdict that is an even question is worth a bit, at each of its own places", () => {
  const readAgain = [again(1, "plate"), again(1, "pod"), again(2, "timer")];
  const found = advise({ circuits: [doubted(1, 0.5), ...rest], readAgain });
  expect(told(found)).toEqual(["1 pod read", "1 plate read"]);
  for (const { bits } of found.readings) expect(bits).toBe(1);
  expect(found).toMatchObject({ unplug: [], stop: null });
  // Nobody can say: as open as a question can be. One that is a quarter open, H(0.25).
  const [unknown] = advise({ circuits: [doubted(1, null), ...rest], readAgain }).readings;
  expect(unknown!.bits).toBe(1);
  const [quarter] = advise({ circuits: [doubted(1, 0.75), ...rest], readAgain }).readings;
  expect(quarter!.bits).toBeCloseTo(0.811278, 6);
});

test("a doubted value is worth its own question too, which a doubt over a half does not lessen", () => {
  const bitsOf = (doubt: number, underLimit = 0.9) =>
    advise({ circuits: [doubted(1, underLimit), ...rest], readAgain: [again(1, "pod", doubt)] })
      .readings[0]!.bits;
  expect(bitsOf(0.25)).toBeCloseTo(0.811278, 6);
  expect(bitsOf(0.97)).toBe(1);
  expect(bitsOf(0.01)).toBeCloseTo(0.468996, 6);
});

test("a contact that comes and goes is moved, a device that may conduct is unplugged", () => {
  const conducting = [
    { kind: "stuck", point: "pod", probability: 0.2 },
    { kind: "wet", point: "plate", probability: 0.3 },
    { kind: "leaking", point: "pod", probability: 0.05 },
  ] as const;
  const contacts = [
    ...path(1, { harness: { intermittent: 0.2 }, plate: { intermittent: 0.5 } }),
    ...path(2, { pod: { intermittent: 0.9 } }),
  ];
  const circuits = [doubted(1, 0, conducting), ...rest];
  const { readings, unplug } = advise({ circuits, contacts });
  // A moved plug shows 7 of 10 bad moments: H(0.35) - 0.5 H(0.7). Unplugging tells: H(0.25).
  expect(readings).toMatchObject([{ lane: 1, point: "plate", act: "move" }]);
  expect(readings[0]!.bits).toBeCloseTo(0.934068 - 0.5 * 0.881291, 6);
  expect(unplug).toMatchObject([{ lane: 1, point: "pod", act: "unplug" }]);
  expect(unplug[0]!.bits).toBeCloseTo(0.811278, 6);
});

test("nothing is read a fifth time, moved a third, or for less than a hundredth of a bit", () => {
  const moved = (count: number): Reading[] =>
    sheet(Array.from({ length: count }, (): Shown => [1, "pad", "plate", 4.9])).map((one) => ({
      ...one,
      state: "moved",
    }));
  const contacts = [...path(1, { plate: { intermittent: 0.5 } }), ...path(2), ...path(3)];
  const made = { circuits: [doubted(1, 0), ...rest], contacts, connectors: [], readAgain: [] };
  const acts = (readings: readonly Reading[], with_: Partial<Made> = {}) =>
    told(nextOf(pool, readings, { ...made, ...with_ }, 9, times));
  expect(acts(moved(1))).toEqual(["1 plate move"]);
  expect(acts(moved(3).map((one) => ({ ...one, state: "rest" })))).toEqual(["1 plate move"]);
  expect(acts(moved(2))).toEqual([]);
  expect(nextOf(pool, moved(2), made, 9, times).stop).toBe("nothing-worth-taking");
  const asked = { circuits: [doubted(1, 0.5), ...rest], readAgain: [again(1, "plate")] };
  expect(acts(moved(3), asked)).toEqual(["1 plate read"]);
  expect(acts(moved(4), asked)).toEqual([]);
  // Readings elsewhere are no readings here.
  const elsewhere = moved(4).map((one, i) =>
    i < 2 ? { ...one, lane: 2 } : { ...one, point: "pod" },
  );
  expect(acts(elsewhere, asked)).toEqual(["1 plate read", "1 plate move"]);
  // H(0.0008) = 0.0094, H(0.0009) = 0.0104 bit.
  const readAgain = [again(1, "plate")];
  const still = [1, 2, 3].flatMap((lane) => path(lane));
  const worth = (p: number) =>
    told(advise({ circuits: [doubted(1, p), ...rest], readAgain, contacts: still }));
  expect(worth(0.0008)).toEqual([]);
  expect(worth(0.0009)).toEqual(["1 plate read"]);
});

test("time is the reading's, the lanes between, the cover where it is not open, the plug's", () => {
  const readAgain = [again(1, "plate"), again(3, "plate")];
  const contacts = [...path(1), ...path(2), ...path(3, { pod: { intermittent: 0.5 } })];
  const made = { circuits: [doubted(1, 0.5), settled(2), doubted(3, 0.5)], contacts, readAgain };
  const seconds = (rows: readonly Shown[]) =>
    Object.fromEntries(
      advise(made, rows).readings.map(({ lane, act, seconds: own }) => [`${lane} ${act}`, own]),
    );
  // Nobody has begun: no way to walk. 8 + 30; 8 + 10 to move a pod.
  expect(seconds([])).toEqual({ "1 read": 38, "3 read": 38, "3 move": 18 });
  // From lane 3's open plate: 8 there, 8 + 2 lanes of 3 + 30, 8 + 10.
  expect(seconds([[3, "pad", "plate", 4.9]])).toEqual({ "1 read": 44, "3 read": 8, "3 move": 18 });
  // From lane 2's, which is another plate: 8 + 3 + 30, 8 + 3 + 10.
  expect(seconds([[2, "pad", "plate", 4.9]])).toEqual({ "1 read": 41, "3 read": 41, "3 move": 21 });
  // Lane 3's pod opens no plate.
  expect(seconds([[3, "pad", "pod", 4.9]])).toEqual({ "1 read": 44, "3 read": 38, "3 move": 18 });
  const { readings } = advise(made, [[3, "pad", "plate", 4.9]]);
  expect(told({ readings, unplug: [], stop: null })).toEqual([
    "3 plate read",
    "3 pod move",
    "1 plate read",
  ]);
  for (const { bits, seconds: own, bitsPerSecond } of readings)
    expect(bitsPerSecond).toBe(bits / own);
});

test("so many are named, of readings and of devices to unplug", () => {
  const leak = [{ kind: "leaking", point: "pod", probability: 0.25 }] as const;
  const circuits = [1, 2, 3].map((lane) => doubted(lane, 0.5, leak));
  const readAgain = [1, 2, 3].map((lane) => again(lane, "pod"));
  const two = advise({ circuits, readAgain }, [], 2);
  expect([two.readings.length, two.unplug.length]).toEqual([2, 2]);
  expect([...two.readings, ...two.unplug].map(({ act }) => act)).toEqual([
    ...["read", "read", "unplug", "unplug"],
  ]);
});

test("where all is sound there is nothing to take, where only unplugging tells no reading", () => {
  const sound = { circuits: [settled(1), ...rest] };
  expect(advise(sound)).toEqual({ readings: [], unplug: [], stop: "all-settled" });
  const leak = [{ kind: "leaking", point: "pod", probability: 0.25 }] as const;
  const found = advise({ circuits: [doubted(1, 0, leak), ...rest] });
  expect(told(found)).toEqual(["1 pod unplug"]);
  expect(found.stop).toBe("nothing-worth-taking");
});

test("a circuit that nobody read is asked for at its end", () => {
  const { readings } = advise({ circuits: rest });
  expect(readings).toMatchObject([{ lane: 1, device: "pad", point: "pod", act: "read" }]);
});

/** A weak circuit's connector that others can't be told from, and the place that would tell. */
const suspect = (
  lane: number,
  point: string,
  inseparableFrom: readonly string[],
  between: string | null,
): ConnectorFinding => ({
  ...placeOf(point, lane),
  ...{ connector: point, atFault: 0.5, voltsLost: 0.4, circuits: [], fails: [], evidence: [] },
  worst: contact(lane, point),
  inseparableFrom,
  wouldSeparate: between === null ? null : { ...nameAt(lane), point: between },
});

test("suspects of a weak circuit are told apart where that halves them best", () => {
  const faults = { harness: { sound: 0.9 }, plate: { sound: 0.6 }, pod: { sound: 0.5 } };
  // Another circuit's contacts of the same names have no part in it.
  const contacts = [...path(2, { pod: { sound: 0 } }), ...path(1, faults), ...path(3)];
  const connectors = [
    suspect(1, "harness", ["plate", "pod"], "harness"),
    suspect(1, "pod", ["harness", "plate"], "plate"),
    suspect(1, "timer", [], null),
    suspect(3, "pod", ["plate"], "timer"),
  ];
  const circuits = [weak(1), ...rest];
  const { readings } = advise({ circuits, contacts, connectors });
  // Behind the harness lie 0.9 of the faults' 1.0, behind the plate 0.5: H(0.5) of one fault.
  expect(readings).toMatchObject([{ lane: 1, point: "plate", act: "read" }]);
  expect(readings).toHaveLength(1);
  expect(readings[0]!.bits).toBeCloseTo(1, 9);
  // What would tell another circuit's suspects apart is not this one's.
  const others = [connectors[0]!, suspect(3, "pod", ["plate"], "plate")];
  const first = advise({ circuits, contacts, connectors: others }).readings[0]!;
  expect(first.point).toBe("harness");
  expect(first.bits).toBeCloseTo(0.468996, 6);
});

test("of a fault that is half likely to lie among them, half a bit", () => {
  const contacts = path(1, { plate: { sound: 0.75 }, pod: { sound: 0.75 } });
  const connectors = [suspect(1, "pod", ["plate"], "plate")];
  const { readings } = advise({ circuits: [weak(1), ...rest], contacts, connectors });
  expect(readings[0]!.bits).toBeCloseTo(0.5, 9);
  // A suspect that nobody found anything about is sound: nothing lies on its side.
  const one = advise({
    circuits: [weak(1), ...rest],
    contacts: path(1, { pod: { sound: 0.25 } }),
    connectors: [suspect(1, "pod", ["elsewhere"], "plate")],
  });
  expect(one).toEqual({ readings: [], unplug: [], stop: "all-settled" });
});

test("the usual times: 8 s a reading, 15 more for a plate's cover, 6 from lane to lane", () => {
  const readAgain = [again(1, "plate"), again(1, "pod"), again(3, "pod")];
  const made = {
    circuits: [doubted(1, 0.5), settled(2), doubted(3, 0.5)],
    contacts: [1, 2, 3].flatMap((lane) => path(lane)),
  };
  const readings = sheet([[1, "pad", "timer", 4.9]]);
  const found = nextOf(pool, readings, { ...made, connectors: [], readAgain });
  expect(found.readings.map(({ lane, point, seconds }) => [lane, point, seconds])).toEqual([
    [1, "pod", 8],
    [3, "pod", 20],
    [1, "plate", 23],
  ]);
});
