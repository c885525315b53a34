import { cumulativeStdNormalProbability } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { volts } from "../../src/domain/units.ts";
import { bruteForce } from "./brute-force.ts";
import { link, sheet, smallPool } from "./builders.ts";
import { normalBelow, normalQuantile } from "./normal.ts";
import { readingLikelihood } from "./reading-likelihood.ts";
import { sobolPoints } from "./sobol.ts";
import { storedWalks } from "./stored-walks.ts";

/**
 * The reference has to be trusted before it may judge: its parts against tables and other
 * libraries, its whole against plain one-dimensional quadrature, its stored answers against a
 * second run with other points.
 */

const simpson = (f: (x: number) => number, low: number, high: number, panels: number): number => {
  const h = (high - low) / (2 * panels);
  const inner = Array.from({ length: 2 * panels - 1 }, (_, i) => f(low + (i + 1) * h));
  const sum = inner.reduce((total, y, i) => total + (i % 2 === 0 ? 4 : 2) * y, f(low) + f(high));
  return (sum * h) / 3;
};

const density = (z: number): number => Math.exp(-z * z * 0.5) / 2.5066282746310002;

describe("parts", () => {
  // Abramowitz and Stegun, table 26.1 (memory), and simple-statistics' own function (computed).
  test("the normal distribution function is that of the tables", () => {
    expect(normalBelow(1)).toBeCloseTo(0.841344746, 9);
    expect(normalBelow(-4)).toBeCloseTo(3.1671242e-5, 11);
    for (const z of [-3, -1.5, -0.2, 0, 0.7, 2.5, 3]) {
      expect(normalBelow(z)).toBeCloseTo(cumulativeStdNormalProbability(z), 4);
    }
  });

  test("the quantile undoes the distribution function", () => {
    for (const p of [1e-9, 1e-4, 0.02, 0.3, 0.5, 0.9, 0.999]) {
      expect(normalBelow(normalQuantile(p)) / p).toBeCloseTo(1, 7);
    }
  });

  // The defining property of a (0, m, 2)-net: every dyadic box of area 1/256 holds one point.
  test("the first two Sobol dimensions fill every elementary box once, shifted or not", () => {
    for (const shift of [0, 5, 12345]) {
      const [x, y] = sobolPoints(2, 256, shift);
      for (let a = 0; a <= 8; a++) {
        const boxes = new Set(
          [...x!].map(
            (u, i) => Math.floor(u * 2 ** a) * 2 ** 8 + Math.floor(y![i]! * 2 ** (8 - a)),
          ),
        );
        expect(boxes.size).toBe(256);
      }
    }
  });

  test("every Sobol dimension is even by itself", () => {
    for (const axis of sobolPoints(6, 1024, 5)) {
      expect(new Set([...axis].map((u) => Math.floor(u * 1024))).size).toBe(1024);
    }
  });

  test("all values that a display can show are equally certain to add up", () => {
    const pool = smallPool([1], ["pad"]);
    const [any] = sheet([[1, "pad", "pod", 1]]);
    const shown = Array.from({ length: 551 }, (_, i) => i / 100);
    const total = shown.slice(1).reduce((sum, v) => {
      const reading = { ...any!, volts: volts(v) };
      return sum + readingLikelihood(pool, [reading], reading)(4.8);
    }, 0);
    // (1 - e) in the normal part, e in 550 stray steps of 0.01 V up to 1.1 times 5 V.
    expect(total).toBeCloseTo(1, 9);
  });
});

describe("wholes with an answer by other means", () => {
  const onePoint = smallPool([1], ["pad"], { chain: [link("pod", "device", 0.3, 0, 0.12)] });

  /** P(shown within half a step | true volts), the display interval by Simpson's rule. */
  const shownAt = (v: number, trueVolts: number): number =>
    0.99 * simpson((x) => density((x - trueVolts) / 0.02) / 0.02, v - 0.005, v + 0.005, 4) +
    (0.01 * 0.01) / 5.5;

  const stateIntegral = (v: number, emf: number, median: number, logSd: number): number =>
    simpson(
      (z) => density(z) * shownAt(v, (emf * 1000) / (1000.3 + median * Math.exp(logSd * z))),
      -7,
      7,
      400,
    );

  test.each([4.99, 4.7])("one contact, one reading of %d V, by Simpson's rule", (v) => {
    const overEmf = (f: (emf: number) => number) =>
      simpson((emf) => (density((emf - 5) / 0.05) / 0.05) * f(emf), 4.65, 5.35, 60);
    const sound = (1 - 1.1 * 0.12) * overEmf((emf) => stateIntegral(v, emf, 0.2, 0.8));
    const fouled = 0.12 * overEmf((emf) => stateIntegral(v, emf, 60, 1.2));
    const open = 0.012 * shownAt(v, 0);
    const answer = bruteForce(onePoint, sheet([[1, "pad", "pod", v]]), { points: 4096, shift: 0 });
    const [contact] = answer.contacts;
    const evidence = sound + fouled + open;
    expect(answer.logEvidence).toBeCloseTo(Math.log(evidence), 3);
    expect(contact!.sound).toBeCloseTo(sound / evidence, 3);
    expect(contact!.fouled).toBeCloseTo(fouled / evidence, 3);
    expect(contact!.open).toBeCloseTo(open / evidence, 4);
    expect(answer.connectors[0]!.atFault).toBeCloseTo((fouled + open) / evidence, 3);
  });

  test("a contact behind the last reading keeps its prior, bodies included", () => {
    const pool = smallPool([1], ["pad"], {
      chain: [link("timer", "device", 0.1, 0, 0.01), link("plate", "lane", 2, 0.08, 0.02)],
    });
    const answer = bruteForce(pool, sheet([[1, "pad", "timer", 5]]), { points: 1024, shift: 0 });
    const plate = answer.contacts[1]!;
    // 0.92 clean with 0.02, 0.08 contaminated with 0.70; open is a tenth of that.
    expect(plate.fouled).toBeCloseTo(0.92 * 0.02 + 0.08 * 0.7, 9);
    expect(plate.open).toBeCloseTo(0.00744, 9);
    const share = plate.sound * 0.5 + plate.fouled * normalBelow(Math.log(0.2 / 60) / 1.2);
    // At the sound median, half of the sound share lies below and next to nothing of the fouled.
    expect(share).toBeLessThan(0.5);
    expect(plate.ohms.median).toBeGreaterThan(0.2);
    const [m, p] = [plate.ohms.median!, plate];
    const below =
      p.sound * normalBelow(Math.log(m / 0.2) / 0.8) +
      p.fouled * normalBelow(Math.log(m / 60) / 1.2);
    expect(below).toBeCloseTo(0.5, 4);
  });

  test("a body shared by two devices, both open at once, by hand", () => {
    const pool = smallPool([1], ["pad", "button"], {
      chain: [link("plate", "lane", 2, 0.08, 0.02)],
      misread: 0,
    });
    const zeros = sheet([
      [1, "pad", "plate", 0],
      [1, "button", "plate", 0],
    ]);
    const answer = bruteForce(pool, zeros, { points: 4096, shift: 0 });
    // A zero behind an open contact: 0.02 + 0.98 F(0.005 / 0.02); otherwise the meter was off.
    const atOpen = 0.02 + 0.98 * normalBelow(0.25);
    const given = (open: number) => open * atOpen + (1 - open) * 0.02;
    const evidence = 0.92 * given(0.002) ** 2 + 0.08 * given(0.07) ** 2;
    expect(answer.logEvidence).toBeCloseTo(Math.log(evidence), 3);
    const padOpen =
      (0.92 * 0.002 * atOpen * given(0.002) + 0.08 * 0.07 * atOpen * given(0.07)) / evidence;
    expect(answer.contacts[0]!.open).toBeCloseTo(padOpen, 3);
  });
});

// The second run has half the points, so the stored answer is the nearer of the two: these bounds
// are on their difference, not on the stored answer's error.
test("stored answers are known well enough to judge by", () => {
  const walks = storedWalks();
  expect(walks.length).toBeGreaterThanOrEqual(14);
  for (const { name, selfCheck } of walks) {
    expect(selfCheck.probability, name).toBeLessThan(0.004);
    expect(selfCheck.logEvidence, name).toBeLessThan(0.005);
    expect(selfCheck.median, name).toBeLessThan(0.025);
  }
});
