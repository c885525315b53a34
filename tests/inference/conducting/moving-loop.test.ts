import { describe, expect, test } from "vitest";
import { movingLoops } from "../../../src/inference/conducting/moving-loop.ts";
import type { CircuitProblem, ReadingProblem } from "../../../src/inference/problem.ts";

/**
 * Worked by hand: a timer of 5 V behind 50 ohm, no copper, a meter of 1,000 ohm, and a leak of 200 ohm
 * at the point itself. Kirchhoff: 1,000 beside 200 is 166.67 ohm, and 5 * 166.67 / 216.67 = 3.846 V.
 */
const reading = { shown: 3.85, noise: 0.02, meter: 0, order: 0 } as ReadingProblem;
const circuit = { supply: 0, links: [{ wireOhms: 0 }] } as unknown as CircuitProblem;
const at = (emf: number) => ({
  ...{ emf: [emf], drift: 0, noiseScale: 1, sourceOhms: [50], loadOhms: [1000] },
});
const likely = { logSd: 1.5, loop: 250, sd: 5 };
const moving = movingLoops(circuit, [[reading]], 0, at(5), likely)(250);
const shown = (emf: number, loop: number): number => {
  const leak = loop - 50;
  const beside = (1000 * leak) / (1000 + leak);
  return (emf * beside) / (beside + 50);
};

describe("a loop that follows the EMF", () => {
  test("stays where it was laid while nothing moves", () => {
    const { ohms, perOhm } = moving(at(5));
    expect(ohms).toBeCloseTo(250, 6);
    expect(perOhm).toBeCloseTo(1, 6);
  });

  test.each([4.9, 5.05, 5.2])("shows the same at %d V", (emf) => {
    expect(shown(emf, moving(at(emf)).ohms)).toBeCloseTo(3.846, 2);
  });

  test("an ohm is worth what the difference of two nearby loops says", () => {
    const [less, more] = [249.9, 250.1].map((loop) =>
      movingLoops(circuit, [[reading]], 0, at(5), likely)(loop)(at(5.1)),
    );
    expect(moving(at(5.1)).perOhm).toBeCloseTo((more!.ohms - less!.ohms) / 0.2, 4);
  });

  test("stays one that exists where the EMF is under what was shown", () => {
    const { ohms, perOhm } = moving(at(3.7));
    expect(ohms).toBeGreaterThan(250);
    expect(perOhm).toBeGreaterThan(0);
    expect(Number.isFinite(perOhm)).toBe(true);
  });

  test("a hill far wider than the noise stays where it is", () => {
    const wide = movingLoops(circuit, [[reading]], 0, at(5), { ...likely, sd: 200 })(250);
    expect(wide(at(5.1)).ohms).toBeCloseTo(250, 1);
  });

  test("stays put where no reading shows it", () => {
    const still = movingLoops(circuit, [[]], 0, at(5), likely)(250);
    expect(still(at(4))).toEqual({ ohms: 250, perOhm: 1 });
  });
});
