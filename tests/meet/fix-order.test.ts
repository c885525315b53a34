import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Fix, fixOrder, type LaneNeed } from "../../src/meet/fix-order.ts";

function subsets<T>(all: readonly T[]): T[][] {
  const sets: T[][] = [[]];
  for (const one of all) sets.push(...sets.map((set) => [...set, one]));
  return sets;
}

const permutations = <T>(all: readonly T[]): T[][] =>
  all.length === 0
    ? [[]]
    : all.flatMap((one, i) =>
        permutations([...all.slice(0, i), ...all.slice(i + 1)]).map((rest) => [one, ...rest]),
      );

const minutesOf = (fixes: readonly Fix[], ids: readonly string[]): number =>
  ids.reduce((sum, id) => sum + (fixes.find((f) => f.id === id)?.minutes ?? 0), 0);

const worthOf = (fixes: readonly Fix[], lane: LaneNeed): number =>
  lane.fixes.reduce((c, id) => c * (fixes.find((f) => f.id === id)?.chance ?? 0), 1);

/** Independent: every set of fixes that fits the time. */
const bruteReady = (fixes: readonly Fix[], lanes: readonly LaneNeed[], minutes: number): number =>
  Math.max(
    ...subsets(fixes.map((f) => f.id))
      .filter((ids) => minutesOf(fixes, ids) <= minutes)
      .map((ids) =>
        lanes
          .filter((lane) => lane.fixes.every((id) => ids.includes(id)))
          .reduce((sum, lane) => sum + worthOf(fixes, lane), 0),
      ),
  );

/** Lane-minutes of waiting in one order. */
const waiting = (fixes: readonly Fix[], lanes: readonly LaneNeed[], order: readonly string[]) =>
  lanes.reduce((sum, lane) => {
    const last = Math.max(...lane.fixes.map((id) => order.indexOf(id)));
    return sum + worthOf(fixes, lane) * minutesOf(fixes, order.slice(0, last + 1));
  }, 0);

const arbitraryCase = (sharedCount: number) =>
  fc
    .record({
      own: fc.array(
        fc.record({
          minutes: fc.integer({ min: 1, max: 30 }),
          chance: fc.constantFrom(0.3, 0.5, 0.7, 0.9, 1),
          shared: fc.boolean(),
        }),
        { minLength: 1, maxLength: 5 },
      ),
      minutes: fc.array(fc.integer({ min: 1, max: 30 }), {
        minLength: sharedCount,
        maxLength: sharedCount,
      }),
    })
    .map(({ own, minutes }) => {
      const fixes: Fix[] = [
        ...minutes.map((m, i) => ({ id: `shared ${i}`, minutes: m, chance: 0.8 })),
        ...own.map((o, i) => ({ id: `own ${i}`, minutes: o.minutes, chance: o.chance })),
      ];
      const lanes: LaneNeed[] = own.map((o, i) => ({
        lane: i + 1,
        fixes: [...(o.shared ? minutes.map((_, j) => `shared ${j}`) : []), `own ${i}`],
      }));
      return { fixes, lanes };
    });

describe("what to put right", () => {
  test("equals trying every set of fixes", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2 }).chain(arbitraryCase),
        fc.integer({ min: 0, max: 70 }),
        ({ fixes, lanes }, minutes) => {
          const plan = fixOrder(fixes, lanes, minutes);
          expect(plan.minutes).toBeLessThanOrEqual(minutes);
          expect(plan.expectedReady).toBeCloseTo(bruteReady(fixes, lanes, minutes), 9);
        },
      ),
      { numRuns: 150 },
    );
  });

  test("with at most one shared fix no order makes lanes wait less", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1 }).chain(arbitraryCase), ({ fixes, lanes }) => {
        const plan = fixOrder(fixes, lanes, null);
        expect(plan.exact).toBe(true);
        const order = plan.steps.map((step) => step.id);
        const best = Math.min(...permutations(order).map((other) => waiting(fixes, lanes, other)));
        expect(waiting(fixes, lanes, order)).toBeCloseTo(best, 6);
      }),
      { numRuns: 60 },
    );
  });

  // By hand: the outlet costs 20 min and frees three lanes of 0 min each (0.15 a minute); lane 4's
  // plate takes 12 min (0.083). So the outlet first, then lane 4.
  test("one connector that three lanes wait for comes before one lane's own", () => {
    const fixes = [
      { id: "plate 4", minutes: 12, chance: 1 },
      { id: "outlet", minutes: 20, chance: 1 },
    ];
    const lanes = [
      { lane: 1, fixes: ["outlet"] },
      { lane: 2, fixes: ["outlet"] },
      { lane: 3, fixes: ["outlet"] },
      { lane: 4, fixes: ["plate 4"] },
    ];
    const plan = fixOrder(fixes, lanes, null);
    expect(plan.steps.map((s) => s.id)).toEqual(["outlet", "plate 4"]);
    expect(plan.steps[0]?.makes).toEqual([1, 2, 3]);
    // With 15 minutes the outlet does not fit, and the plan says what is left.
    const short = fixOrder(fixes, lanes, 15);
    expect(short.steps.map((s) => s.id)).toEqual(["plate 4"]);
    expect(short.left).toEqual(["outlet"]);
  });
});
