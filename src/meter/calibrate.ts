import type { Estimate } from "../domain/findings.ts";
import { fault, ok, type Result } from "../domain/result.ts";
import type { Ohms, Volts } from "../domain/units.ts";
import { chiSquaredQuantile } from "../numerics/chi-squared.ts";
import { studentQuantile } from "../numerics/student-t.ts";
import { strayPoints } from "./stray-readings.ts";
import { type WeightedLine, type WeightedPoint, weightedLine } from "./weighted-line.ts";

/** What the meter showed behind a known series resistor. */
export interface ResistorReading {
  /** R, the resistor between the source and the meter [Ω]. */
  readonly ohms: Ohms;
  /** What the meter showed, above 0 [V]. */
  readonly volts: Volts;
}

/** What the readings say about the meter: 90 % intervals. */
export interface Calibration {
  /**
   * RL, the meter's load [Ω]. The upper bound is infinite where the readings do not show that the
   * meter draws any current; the median is then infinite too where they happen to rise with R.
   */
  readonly loadOhms: Estimate;
  /** E, EMF of the source that was read [V]. */
  readonly emf: Estimate;
  /** Standard deviation of one reading around the line, rounding included [V]. */
  readonly scatter: Estimate;
  /** The same before rounding: what the pool file calls `noise` [V]. */
  readonly noise: Estimate;
  /** Readings that the line goes through [whole]. */
  readonly readings: number;
  /** Readings less the numbers fitted [1; whole, 1 or more]. */
  readonly degreesOfFreedom: number;
  /** Shown minus fitted, for every reading in order [V]. */
  readonly residuals: readonly number[];
  /**
   * Indices of readings that do not belong to the line of the others: check, and take again [row;
   * whole, 0 or more].
   */
  readonly strays: readonly number[];
}

/** Why no calibration can be had from these readings. */
export type CalibrationFault =
  | { readonly kind: "too-few-readings"; readonly found: number }
  | { readonly kind: "one-resistor-only"; readonly ohms: number }
  | { readonly kind: "dead-reading"; readonly index: number; readonly volts: number }
  /** The readings rise with the resistor: no load does that. */
  | { readonly kind: "rising" };

/**
 * Load, EMF and noise from readings at known series resistors, by weighted least squares on
 *
 *     1/v = 1/E + (Rs + R) / (E * RL)
 *
 * which is a straight line in R. With intercept A and slope B, `1/E = A - B * Rs` and
 * `RL = A/B - Rs`. A reading's noise is the same in volts everywhere, so 1/v is weighted with v^4;
 * v is taken from the line itself, which is repeated until it stands still.
 *
 * Intervals: 1/E is linear in A and B (Student's t); RL is their ratio (Fieller's theorem, exact,
 * and honest where the slope is not to be told from 0); the noise is chi-squared.
 *
 * @param sourceOhms Rs of the source that was read; 0 for a bench supply [Ω].
 * @param step Display step d: no scatter counts as less than its d / sqrt(12) [V].
 * @see Fieller, Some problems in interval estimation, J. R. Stat. Soc. B 16 (1954) 175-185.
 */
export function calibrate(
  readings: readonly ResistorReading[],
  sourceOhms: Ohms,
  step: Volts,
): Result<Calibration, CalibrationFault> {
  const unusable = whyUnusable(readings);
  if (unusable) return fault(unusable);
  const rounding = step / Math.sqrt(12);
  const line = settledLine(readings, rounding);
  const scatter = scatterEstimate(line);
  const unrounded = (sd: number) => Math.sqrt(Math.max(0, sd ** 2 - rounding ** 2));
  const t = studentQuantile(0.95, line.degreesOfFreedom);
  if (line.slope < -t * Math.sqrt(line.slopeVariance)) return fault({ kind: "rising" });
  return ok({
    loadOhms: loadEstimate(line, t, sourceOhms),
    emf: emfEstimate(line, t, sourceOhms),
    scatter,
    noise: {
      median: unrounded(scatter.median),
      low: unrounded(scatter.low),
      high: unrounded(scatter.high),
    },
    readings: readings.length,
    degreesOfFreedom: line.degreesOfFreedom,
    residuals: readings.map(({ ohms, volts }) => volts - fitted(line, ohms)),
    strays: strayPoints(
      line,
      asPoints(readings, ({ ohms }) => fitted(line, ohms)),
    ),
  });
}

function whyUnusable(readings: readonly ResistorReading[]): CalibrationFault | null {
  if (readings.length < 3) return { kind: "too-few-readings", found: readings.length };
  const dead = readings.findIndex(({ volts }) => !(volts > 0));
  if (dead >= 0) return { kind: "dead-reading", index: dead, volts: readings[dead]!.volts };
  const first = readings[0]!.ohms;
  if (readings.every(({ ohms }) => ohms === first)) {
    return { kind: "one-resistor-only", ohms: first };
  }
  return null;
}

const fitted = (line: WeightedLine, ohms: Ohms): number => 1 / (line.intercept + line.slope * ohms);

/** Readings as points of the line; `level` gives the volts that a reading's weight is taken at. */
const asPoints = (
  readings: readonly ResistorReading[],
  level: (reading: ResistorReading) => number,
): WeightedPoint[] =>
  readings.map((reading) => ({
    x: reading.ohms,
    y: 1 / reading.volts,
    weight: level(reading) ** 4,
  }));

/** Weights first from the readings, then from the line, until it moves no more. */
function settledLine(readings: readonly ResistorReading[], leastSd: number): WeightedLine {
  let line = weightedLine(
    asPoints(readings, ({ volts }) => volts),
    leastSd,
  );
  for (let round = 0; round < 50; round += 1) {
    const next = weightedLine(
      asPoints(readings, ({ ohms }) => fitted(line, ohms)),
      leastSd,
    );
    const settled = Math.abs(next.slope - line.slope) <= 1e-14 * Math.abs(line.slope);
    line = next;
    if (settled) break;
  }
  return line;
}

function emfEstimate(line: WeightedLine, t: number, sourceOhms: Ohms): Estimate {
  const inverse = line.intercept - line.slope * sourceOhms;
  const variance =
    line.interceptVariance -
    2 * sourceOhms * line.covariance +
    sourceOhms ** 2 * line.slopeVariance;
  const half = t * Math.sqrt(variance);
  return {
    median: 1 / inverse,
    low: 1 / (inverse + half),
    high: inverse > half ? 1 / (inverse - half) : Number.POSITIVE_INFINITY,
  };
}

/** Fieller: all RL + Rs = q with (A - q B)^2 <= t^2 var(A - q B), a quadratic in q. */
function loadEstimate(line: WeightedLine, t: number, sourceOhms: Ohms): Estimate {
  const { intercept: a, slope: b } = line;
  const square = b * b - t * t * line.slopeVariance;
  const linear = a * b - t * t * line.covariance;
  const constant = a * a - t * t * line.interceptVariance;
  const root = Math.sqrt(Math.max(0, linear * linear - square * constant));
  // Where the slope may be 0 the set has no upper end, and this root is its lower one.
  const low = constant / (linear + root);
  const high = square > 0 && linear > 0 ? (linear + root) / square : Number.POSITIVE_INFINITY;
  const median = b > 0 ? a / b : Number.POSITIVE_INFINITY;
  return {
    median: median - sourceOhms,
    low: Math.max(0, low - sourceOhms),
    high: high - sourceOhms,
  };
}

function scatterEstimate({ residualSd, degreesOfFreedom }: WeightedLine): Estimate {
  const at = (p: number) =>
    residualSd * Math.sqrt(degreesOfFreedom / chiSquaredQuantile(p, degreesOfFreedom));
  return { median: residualSd, low: at(0.95), high: at(0.05) };
}
