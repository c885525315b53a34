import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { strayPoints } from "../../src/meter/stray-readings.ts";
import { type WeightedPoint, weightedLine } from "../../src/meter/weighted-line.ts";
import { studentQuantile } from "../../src/numerics/student-t.ts";

/**
 * The definition, without the shortcut: leave the point out, draw the line through the others, and
 * compare the point with where that line puts it (Draper & Smith, ch. 8).
 */
function leftOut(points: readonly WeightedPoint[], index: number): number {
  const { x, y, weight } = points[index]!;
  const line = weightedLine(points.filter((_, i) => i !== index));
  const { intercept, slope, interceptVariance, slopeVariance, covariance, residualSd } = line;
  const ofLine = interceptVariance + 2 * x * covariance + x ** 2 * slopeVariance;
  return (y - intercept - slope * x) / Math.sqrt(residualSd ** 2 / weight + ofLine);
}

test("a point is stray where the line of all others is far from it", () => {
  // In thousandths: no square of what a meter shows is too small for a number.
  const value = fc.integer({ min: -1000, max: 1000 }).map((n) => n / 1000);
  const weight = fc.double({ min: 0.2, max: 5, noNaN: true });
  let strays = 0;
  fc.assert(
    fc.property(
      fc.array(fc.tuple(value, weight), { minLength: 5, maxLength: 12 }),
      fc.double({ min: 0, max: 12, noNaN: true }),
      (drawn, off) => {
        const points = drawn.map(([y, w], x) => ({ x, y: x === 1 ? y + off : y, weight: w }));
        const found = strayPoints(weightedLine(points), points);
        const least = studentQuantile(1 - 0.025 / points.length, points.length - 3);
        for (const index of points.keys()) {
          const distance = Math.abs(leftOut(points, index));
          // Rounding may decide a tie, and a perfect line of the others leaves no scatter to compare.
          if (!Number.isFinite(distance) || Math.abs(distance / least - 1) < 1e-6) continue;
          if (distance > 1e6) continue;
          expect(found.includes(index)).toBe(distance > least);
          strays += Number(distance > least);
        }
      },
    ),
  );
  expect(strays).toBeGreaterThan(0);
});

describe("nothing is called stray", () => {
  const at = (x: number, y: number) => ({ x, y, weight: 1 });

  test("among three points, where any one could be the odd one out", () => {
    const three = [at(0, 0), at(1, 5), at(2, 0)];
    expect(strayPoints(weightedLine(three), three)).toEqual([]);
  });

  test("on a perfect line", () => {
    const line = [0, 1, 2, 3, 4].map((x) => at(x, 0));
    expect(strayPoints(weightedLine(line), line)).toEqual([]);
  });

  test("where one point alone holds the end of the line", () => {
    const lever = [at(0, 0), at(0, 0.1), at(0, -0.1), at(0, 0.05), at(9, 100)];
    expect(strayPoints(weightedLine(lever), lever)).toEqual([]);
  });
});
