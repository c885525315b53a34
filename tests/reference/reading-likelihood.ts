import type { Meter } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { normalBelow } from "./normal.ts";

/** P(meter was off) for a zero that was written down without a time (model, section 3). */
const offUntimed = 0.02;

export const meterOf = (pool: Pool, name: string): Meter => {
  const meter = pool.meters.find((candidate) => candidate.name === name);
  if (!meter) throw new Error(`no meter '${name}' in the pool`);
  return meter;
};

/** Display step: the meter's own, else the finest that occurs among its readings [V]. */
const stepOf = (meter: Meter, readings: readonly Reading[]): number =>
  meter.resolution ??
  Math.min(...readings.filter((r) => r.meter === meter.name).map((r) => r.step));

/** Equation (4) with its two additions for a displayed zero, as a function of the true volts. */
export const readingLikelihood = (
  pool: Pool,
  readings: readonly Reading[],
  reading: Reading,
): ((trueVolts: number) => number) => {
  const meter = meterOf(pool, reading.meter);
  const step = stepOf(meter, readings);
  const noise = meter.noise;
  const stray = (pool.misread * step) / (1.1 * pool.supply.emf);
  const v = reading.volts;
  return (trueVolts) => {
    const above = normalBelow((v + step / 2 - trueVolts) / noise);
    const below = v === 0 ? 0 : normalBelow((v - step / 2 - trueVolts) / noise);
    const shown = (1 - pool.misread) * (above - below) + stray;
    return v === 0 ? offUntimed + (1 - offUntimed) * shown : shown;
  };
};

/** A reading ready for millions of look-ups: its likelihood tabulated over the true volts. */
export interface TabulatedReading {
  readonly volts: number;
  readonly loadOhms: number;
  /** Spread of what the display leaves open: noise and rounding together [V]. */
  readonly spread: number;
  readonly table: Float64Array;
  readonly perVolt: number;
  /** Likelihood behind an open contact, where the true volts are 0. */
  readonly atZero: number;
}

/** Steps of noise/64 keep linear interpolation within 4e-5 of the curve. */
export const tabulate = (
  pool: Pool,
  readings: readonly Reading[],
  reading: Reading,
): TabulatedReading => {
  const meter = meterOf(pool, reading.meter);
  const likelihood = readingLikelihood(pool, readings, reading);
  const perVolt = 64 / meter.noise;
  const top = pool.supply.emf + 10 * pool.supply.emfSd;
  return {
    volts: reading.volts,
    loadOhms: meter.loadOhms ?? 1,
    spread: Math.sqrt(meter.noise ** 2 + stepOf(meter, readings) ** 2 / 12),
    table: Float64Array.from({ length: Math.ceil(top * perVolt) + 2 }, (_, i) =>
      likelihood(i / perVolt),
    ),
    perVolt,
    atZero: likelihood(0),
  };
};
