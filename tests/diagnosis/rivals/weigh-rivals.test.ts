import { expect, test } from "vitest";
import { weighRivals } from "../../../src/diagnosis/rivals/weigh-rivals.ts";
import { emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import type { ReadingProblem, WalkProblem } from "../../../src/inference/problem.ts";
import { drawModelWalk, seededUniform } from "../fit/model-walks.ts";

/** Ten circuits on which everything is sound: every display shows 5 V less `volts`, and noise. */
function soundWalk(volts: (reading: ReadingProblem) => number): WalkProblem {
  const walk = drawModelWalk(5, 2, seededUniform(11));
  const wobble = [0, 0.01, -0.02, 0.02, -0.01, 0.01, 0, -0.01];
  return {
    ...walk,
    zeroRuns: [],
    circuits: walk.circuits.map((circuit) => ({
      ...circuit,
      conducting: [],
      readings: circuit.readings.map((row) =>
        row.map((reading) => {
          const shown = 4.99 - volts(reading) + wobble[reading.index % 8]!;
          return { ...reading, shown: Math.round(100 * shown) / 100 };
        }),
      ),
    })),
  };
}

test("a supply 0.15 V lower for four circuits is a step, and no connector's fault", {
  timeout: 60_000,
}, () => {
  const walk = soundWalk(({ index }) => (index >= 16 && index < 32 ? 0.15 : 0));
  const { rivals, found } = weighRivals(walk, emptyShelf(1000));
  const step = rivals.find(({ rival }) => rival.kind === "supply-steps")!;
  expect(step.probability).toBeGreaterThan(0.5);
  for (const p of found.bodyAtFault.values()) expect(p).toBeLessThan(0.5);
});

test("a steady walk has no rival likelier than the model", { timeout: 60_000 }, () => {
  const { rivals } = weighRivals(
    soundWalk(() => 0),
    emptyShelf(1000),
  );
  for (const { probability } of rivals) expect(probability).toBeLessThan(0.5);
});
