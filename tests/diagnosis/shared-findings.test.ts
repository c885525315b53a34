import { expect, test } from "vitest";
import { sharedFindings } from "../../src/diagnosis/shared-findings.ts";
import type { PosedWalk } from "../../src/diagnosis/walk-problem.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { WalkInference } from "../../src/inference/infer.ts";

/** Invented estimates, each told by its median. */
const at = (median: number) => ({ median, low: median - 1, high: median + 2 });
const pool = {
  supplies: [{ name: "A" }, { name: "B" }, { name: "C" }],
  meters: [
    { name: "deck", noise: 0.02 },
    { name: "shed", noise: 0.1 },
  ],
} as unknown as Pool;
const shared = {
  emf: [at(5), at(6), at(7)],
  sourceOhms: [at(10), at(20), at(30)],
  loadOhms: [at(1000), at(2000)],
  noiseScale: { median: 1.5, low: 0.5, high: 2 },
  drift: at(0),
};
const found = (supplies: readonly string[], meters: readonly string[]) =>
  sharedFindings(
    pool,
    {
      circuits: supplies.map((name) => ({ supply: { name } })),
      order: { readings: meters.map((meter) => ({ meter })) },
    } as unknown as PosedWalk,
    { shared } as unknown as WalkInference,
  );

test("supplies and meters that a reading concerns, the EMF of the one that feeds most circuits", () => {
  const { emf, supplies, loads, drift } = found(["C", "A", "C"], ["shed", "shed"]);
  expect(emf).toEqual(at(7));
  expect(drift).toEqual(at(0));
  expect(supplies).toEqual([
    { name: "A", emf: at(5), sourceOhms: at(10) },
    { name: "C", emf: at(7), sourceOhms: at(30) },
  ]);
  // The walk's noise is so many times the meter's own.
  expect(loads).toHaveLength(1);
  expect(loads[0]).toMatchObject({ name: "shed", ohms: at(2000) });
  expect(loads[0]!.noise.median).toBeCloseTo(0.15, 12);
  expect(loads[0]!.noise.low).toBeCloseTo(0.05, 12);
  expect(loads[0]!.noise.high).toBeCloseTo(0.2, 12);
});

test("of two that feed as many the first", () => {
  expect(found(["B", "A"], ["deck"]).emf).toEqual(at(5));
});
