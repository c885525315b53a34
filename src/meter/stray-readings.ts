import { studentQuantile } from "../numerics/student-t.ts";
import type { WeightedLine, WeightedPoint } from "./weighted-line.ts";

/**
 * Which points do not belong to the line that the others make: mistyped, or read on the wrong
 * resistor. Each residual is measured against the scatter of all other points (externally
 * studentized), and called stray where chance alone would do that, to any of the points, less than
 * one time in twenty (Bonferroni).
 *
 * Source: Draper & Smith, Applied Regression Analysis, ch. 8 (studentized residuals).
 *
 * @returns Indices of the stray points; none for fewer than four points.
 */
export function strayPoints(line: WeightedLine, points: readonly WeightedPoint[]): number[] {
  const freedom = line.degreesOfFreedom;
  if (freedom < 2) return [];
  const least = studentQuantile(1 - 0.025 / points.length, freedom - 1);
  return points.flatMap((point, index) =>
    Math.abs(studentized(line, point)) > least ? [index] : [],
  );
}

function studentized(line: WeightedLine, { x, y, weight }: WeightedPoint): number {
  const { intercept, slope, residualSd, degreesOfFreedom } = line;
  if (residualSd === 0) return 0;
  const lineVariance =
    line.interceptVariance + 2 * x * line.covariance + x ** 2 * line.slopeVariance;
  const leverage = (weight * lineVariance) / residualSd ** 2;
  // A point that carries the line alone lies on it, and says nothing about itself.
  if (leverage > 1 - 1e-9) return 0;
  const off = Math.sqrt(weight) * (y - intercept - slope * x);
  const inner = off / (residualSd * Math.sqrt(1 - leverage));
  const left = Math.max(0, degreesOfFreedom - inner ** 2);
  return inner * Math.sqrt((degreesOfFreedom - 1) / left);
}
