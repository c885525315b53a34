import { describe, expect, test } from "vitest";
import { movingLoops, rangeAt, still } from "../../../src/inference/conducting/moving-loop.ts";
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
const moving = (nuisance: ReturnType<typeof at>) =>
  movingLoops(circuit, [[reading]], 0, at(5), likely)(250)(nuisance);
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

/** A leak behind 30 ohm of copper, read 10 ohm in front of it and 20 ohm behind it. */
const wired = {
  supply: 0,
  links: [{ wireOhms: 20 }, { wireOhms: 10 }, { wireOhms: 20 }],
} as unknown as CircuitProblem;
/** By Kirchhoff's laws: what is in front of the point in series, all else beside each other. */
const inFront = (emf: number, loop: number, before: number): number => {
  const rest = loop - before;
  const beside = (1000 * rest) / (1000 + rest);
  return (emf * beside) / (beside + before);
};
/** The leak and, beside it, the meter behind its own copper. */
const behindIt = (emf: number, loop: number, joint: number, more: number): number => {
  const leak = loop - joint;
  const beside = (leak * (1000 + more)) / (leak + 1000 + more);
  return ((emf * beside) / (beside + joint)) * (1000 / (1000 + more));
};

describe("a reading on either side of what conducts", () => {
  const showing = (rows: readonly (readonly number[])[]) =>
    rows.map((row) => row.map((shown) => ({ ...reading, shown })));
  const [front, behind] = [inFront(5, 280, 70), behindIt(5, 280, 80, 20)];

  test.each([4.95, 5.08])("moves the loop so that it shows the same at %d V", (emf) => {
    const near = movingLoops(wired, showing([[front], [], []]), 1, at(5), { ...likely, loop: 280 });
    expect(inFront(emf, near(280)(at(emf)).ohms, 70)).toBeCloseTo(front, 2);
    const far = movingLoops(wired, showing([[], [], [behind]]), 1, at(5), { ...likely, loop: 280 });
    expect(behindIt(emf, far(280)(at(emf)).ohms, 80, 20)).toBeCloseTo(behind, 2);
  });

  test("an ohm is worth what two nearby loops say, on both sides", () => {
    for (const rows of [showing([[front], [], []]), showing([[], [], [behind]])]) {
      const along = movingLoops(wired, rows, 1, at(5), { ...likely, loop: 280 });
      const [less, own, more] = [279.9, 280, 280.1].map((loop) => along(loop)(at(5.06)));
      expect(own!.perOhm).toBeCloseTo((more!.ohms - less!.ohms) / 0.2, 3);
    }
  });

  test("the first point that shows anything is followed, zeros are not", () => {
    const rows = showing([[0], [0, front], [behind]]);
    const own = movingLoops(wired, rows, 1, at(5), { ...likely, loop: 280 })(280)(at(5.05));
    const alone = movingLoops(wired, showing([[], [front], []]), 1, at(5), {
      ...likely,
      loop: 280,
    });
    expect(own.ohms).toBeCloseTo(alone(280)(at(5.05)).ohms, 0);
    expect(own.ohms).not.toBeCloseTo(280, 0);
  });

  test("a hill that shows something else than was read has a fault, and stays", () => {
    const off = movingLoops(wired, showing([[front - 0.5], [], []]), 1, at(5), {
      ...likely,
      loop: 280,
    });
    expect(Math.abs(off(280)(at(5.05)).ohms - 280)).toBeLessThan(1);
  });

  test("a law narrower than what the reading tells keeps the loop where it is", () => {
    const known = movingLoops(wired, showing([[front], [], []]), 1, at(5), {
      ...{ loop: 280, sd: 0.1, logSd: 1e-5 },
    });
    expect(known(280)(at(5.05)).ohms).toBeCloseTo(280, 2);
  });

  test("the range of one place is that place", () => {
    expect(rangeAt({ ...at(4.9), noiseScale: 1.5 })).toEqual({
      ...{ emf: [[4.9, 4.9]], noiseScale: 1.5, sourceOhms: [[50, 50]], loadOhms: [[1000, 1000]] },
    });
    expect(still(70)(at(5))).toEqual({ ohms: 70, perOhm: 1 });
  });
});
