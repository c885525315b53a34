import { weightedLinearRegression } from "simple-statistics";

/** A straight line through weighted points, with what is needed for every interval on it. */
export interface WeightedLine {
  readonly intercept: number;
  readonly slope: number;
  /** Variances and covariance of the two, from the scatter of the points. */
  readonly interceptVariance: number;
  readonly slopeVariance: number;
  readonly covariance: number;
  /** Standard deviation of a point of weight 1 around the line. */
  readonly residualSd: number;
  readonly degreesOfFreedom: number;
}

/** One point and its weight, inversely proportional to the variance of `y`. */
export interface WeightedPoint {
  readonly x: number;
  readonly y: number;
  readonly weight: number;
}

/**
 * Least squares of `y = intercept + slope * x`, `x` free of error. The scatter is taken from the
 * residuals, so only the ratio of the weights matters.
 *
 * Needs three points, and two places along `x`.
 *
 * @param leastSd Scatter of a point of weight 1 that is there for certain, as rounding is: points
 *   that happen to lie closer to the line do not make it surer.
 *
 * Source: Draper & Smith, Applied Regression Analysis, ch. 1 and 9 (weighted); checked against the
 * certified values of NIST StRD Norris.
 */
export function weightedLine(points: readonly WeightedPoint[], leastSd = 0): WeightedLine {
  const degreesOfFreedom = points.length - 2;
  if (degreesOfFreedom < 1) throw new Error(`line needs three points, got ${points.length}`);
  const { m: slope, b: intercept } = weightedLinearRegression(
    points.map(({ x, y }) => [x, y]),
    points.map(({ weight }) => weight),
  );
  const total = sum(points, ({ weight }) => weight);
  const meanX = sum(points, ({ x, weight }) => weight * x) / total;
  const spreadX = sum(points, ({ x, weight }) => weight * (x - meanX) ** 2);
  if (!(spreadX > 0)) throw new Error("line needs points at two places along x");
  const squares = sum(points, ({ x, y, weight }) => weight * (y - intercept - slope * x) ** 2);
  const variance = Math.max(squares / degreesOfFreedom, leastSd ** 2);
  return {
    intercept,
    slope,
    interceptVariance: variance * (1 / total + meanX ** 2 / spreadX),
    slopeVariance: variance / spreadX,
    covariance: (-variance * meanX) / spreadX,
    residualSd: Math.sqrt(variance),
    degreesOfFreedom,
  };
}

const sum = <T>(values: readonly T[], of: (value: T) => number): number =>
  values.reduce((total, value) => total + of(value), 0);
