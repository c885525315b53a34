import { expect, test } from "vitest";
import { seenCircuits } from "../../src/diagnosis/seen-circuits.ts";
import { poseWalk } from "../../src/diagnosis/walk-problem.ts";
import type { MeterSight } from "../../src/domain/findings.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { isResting, type Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import type { WalkInference } from "../../src/inference/infer.ts";
import { meter, type Shown, sheet, smallPool } from "../reference/builders.ts";

/**
 * What the rules of the verdict look at. The limit, 4.8 V on 1000 ohm, is a path of 5000 / 4.8 - 1000 =
 * 41.67 ohm; 60 ohm, which a meter must show where the limit judges nothing, is a fouled contact's median.
 */
const deck = meter("deck", 1000, 0.01);
const pool = smallPool([1, 2], ["a"], { meters: [deck, meter("shed", 2000, 0.01)] });
const doubts = (misread: number) => ({
  ...{ misread, off: 0, badMoment: 0, expected: { below: 0.5, same: 0.1 } },
});
const seeing = (name: string, detectionLimit: number | null): MeterSight => ({
  ...{ meter: name, detectionLimit, blind: false },
});

function seen(
  at: Pool,
  readings: readonly Reading[],
  meters: readonly MeterSight[] = [seeing("deck", 5)],
  found: readonly (readonly [number, number])[] = [],
) {
  const posed = poseWalk(at, readings);
  const inference = {
    circuits: posed.circuits.map((_, c) => ({ underLimit: 0.1 * (c + 1) })),
    readings: new Map(found.map(([number, misread]) => [number, doubts(misread)])),
  } as unknown as WalkInference;
  const byCircuit = posed.circuits.map(() => []);
  const conducting = posed.circuits.map(() => []);
  const misfits = posed.circuits.map((_, c) => (c === 1 ? ["pod"] : []));
  return seenCircuits(at, posed, inference, { meters, misfits, byCircuit, conducting });
}
const pods = (...shown: readonly Shown[]) => sheet(shown);
const pressed = (one: Reading): Reading => ({ ...one, state: "pressed" });

test("each circuit has its own readings with their doubts, in the walk's order", () => {
  const readings = sheet([
    [2, "a", "pod", 4.9],
    [1, "a", "pod", 4.7],
    [2, "a", "plate", 4.95],
  ]);
  const all = seen(
    pool,
    readings,
    [seeing("deck", 5)],
    [
      [0, 0.25],
      [1, 0.5],
    ],
  );
  const told = all.map(({ readings: own }) =>
    own.map(({ reading, misread, off, badMoment }) => [reading.line, misread, off, badMoment]),
  );
  // Of a reading that nothing was found about there is no doubt.
  expect(told).toEqual([
    [[3, 0.5, 0, 0]],
    [
      [2, 0.25, 0, 0],
      [4, 0, 0, 0],
    ],
  ]);
  expect(all.map(({ underLimit }) => underLimit)).toEqual([0.1, 0.2]);
  expect(all.map(({ misfits }) => misfits)).toEqual([[], ["pod"]]);
});

test("low is what a path at the limit would not show, by its own meter", () => {
  const isLow = (shown: number, name = "deck", at: Pool = pool) =>
    seen(at, pods([1, "a", "pod", shown, name]))[0]!.readings[0]!.isLow;
  expect([4.79, 4.8, 4.81].map((shown) => isLow(shown))).toEqual([true, false, false]);
  // On 2000 ohm the same path shows 5 x 2000 / 2041.67 = 4.898 V.
  expect([4.89, 4.9].map((shown) => isLow(shown, "shed"))).toEqual([true, false]);
  // A load that nobody knows: the limit's volts as they stand.
  const unknown = { ...pool, meters: [deck, { ...meter("shed", 2000, 0.01), loadOhms: null }] };
  expect([4.79, 4.8].map((shown) => isLow(shown, "shed", unknown))).toEqual([true, false]);
  const own = { ...pool, meters: [{ ...deck, loadOhms: null }] };
  expect([4.79, 4.81].map((shown) => isLow(shown, "deck", own))).toEqual([true, false]);
  const other = { ...pool, meters: [own.meters[0]!, meter("shed", 2000, 0.01)] };
  expect([4.79, 4.81].map((shown) => isLow(shown, "shed", other))).toEqual([true, false]);
  // In ohms, on a meter of no known load, there are no volts to hold anything against.
  expect(isLow(1, "deck", { ...own, limit: { ohms: ohms(40) } })).toBe(false);
  // 5000 / 1040 = 4.808 V.
  const inOhms = { ...pool, limit: { ohms: ohms(40) } };
  expect([4.8, 4.81].map((shown) => isLow(shown, "deck", inOhms))).toEqual([true, false]);
});

test("a value of a pressed switch is never low", () => {
  const [held, rest] = sheet([
    [1, "a", "pod", 0.2],
    [1, "a", "pod", 4.9],
  ]);
  const [one] = seen({ ...pool, model: { ...pool.model, plain: false } }, [pressed(held!), rest!]);
  expect(one!.readings.map(({ reading, isLow }) => [isResting(reading), isLow])).toEqual([
    [false, false],
    [true, false],
  ]);
});

test("the limit is seen by a meter that rested at the last point and shows enough", () => {
  // 41.67 less 3.0 of copper and three sound contacts of 0.2: 38.07 ohm.
  const sees = (readings: readonly Reading[], ...meters: readonly MeterSight[]) =>
    seen(pool, readings, meters)[0]!.seesLimit;
  const pod = pods([1, "a", "pod", 4.9]);
  expect(sees(pod, seeing("deck", 38))).toBe(true);
  expect(sees(pod, seeing("deck", 38.1))).toBe(false);
  expect(sees(pod, seeing("deck", null))).toBe(false);
  expect(sees(pod, seeing("shed", 5))).toBe(false);
  expect(sees(pods([1, "a", "plate", 4.9]), seeing("deck", 5))).toBe(false);
  // One meter that sees is enough, and it must have rested there.
  const both = pods([1, "a", "pod", 4.9], [1, "a", "pod", 4.9, "shed"]);
  expect(sees(both, seeing("deck", 90), seeing("shed", 5))).toBe(true);
  const full = { ...pool, model: { ...pool.model, plain: false } };
  const held = [pods([1, "a", "plate", 4.9])[0]!, pressed(pod[0]!)];
  expect(seen(full, held)[0]!.seesLimit).toBe(false);
});

test("what a limit that judges nothing needs: a load, else a meter that draws more", () => {
  const needs = (at: Pool) => seen(at, pods([1, "a", "pod", 4.9]))[0]!.limitNeeds;
  expect(needs({ ...pool, meters: [{ ...deck, loadOhms: null }] })).toBe("unknown-load");
  expect(needs({ ...pool, limit: { volts: volts(4.8), meter: "deck" } })).toBe("blind-meter");
});

test("a load is unknown where no meter at the last point has one that is known", () => {
  const unknown = { ...pool, meters: [deck, { ...meter("shed", 2000, 0.01), loadOhms: null }] };
  const meters = [seeing("deck", 5), seeing("shed", null)];
  const isUnknown = (...names: readonly string[]) =>
    seen(unknown, pods(...names.map((name): Shown => [1, "a", "pod", 4.9, name])), meters)[0]!
      .loadUnknown;
  expect(isUnknown("deck")).toBe(false);
  expect(isUnknown("shed")).toBe(true);
  expect(isUnknown("deck", "shed")).toBe(false);
});
