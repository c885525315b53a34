import { type Circuit, sourceOr0 } from "../domain/circuit.ts";
import type { Estimate } from "../domain/findings.ts";
import type { LogNormal, Meter } from "../domain/pool.ts";
import { ohms, volts } from "../domain/units.ts";
import { TO_EDGE } from "../numerics/normal.ts";
import { readingVolts } from "./divider.ts";

/** What a sound path shows at one point: median and 90 % interval of a reading [V]. */
export interface SoundVolts extends Estimate {
  readonly point: string;
}

/** Mean and variance of a log-normal resistance, from its median and log-sd. */
function moments({ medianOhms, logSd }: LogNormal): { mean: number; variance: number } {
  const spread = Math.exp(logSd ** 2);
  const mean = medianOhms * Math.sqrt(spread);
  return { mean, variance: mean ** 2 * (spread - 1) };
}

/**
 * What one meter shows along a circuit's path whose every contact is sound.
 *
 * The contacts' resistances enter by their mean and variance, and the spread of a reading is their
 * variance, the meter's noise, its display step and the supply's, added: true while what the sound
 * contacts take from the reading is small beside the supply, as it is for a few ohms in front of a
 * load of hundreds. A meter of unknown load is taken to see no resistance of a sound path.
 *
 * @param contact a sound contact
 * @param emf supply of the walk, median and 90 % interval [V]
 * @param step display step of the readings [V]
 */
export function soundPath(
  { path, supply }: Pick<Circuit, "path" | "supply">,
  contact: LogNormal,
  meter: Meter,
  emf: Estimate,
  step: number,
): readonly SoundVolts[] {
  const { mean, variance } = moments(contact);
  const emfSd = (emf.high - emf.low) / (2 * TO_EDGE);
  const own = emfSd ** 2 + meter.noise ** 2 + step ** 2 / 12;
  const source = sourceOr0(supply);
  let series = 0;
  let seriesVariance = 0;
  return path.map(({ point, wireOhms }) => {
    series += wireOhms + mean;
    seriesVariance += variance;
    if (meter.loadOhms === null) return around(point, emf.median, own);
    const seen = readingVolts(volts(emf.median), meter.loadOhms, source, ohms(series));
    // dV/dS of the divider: V / (RL + Rs + S), and zero for a meter that draws no current.
    const slope = seen / (meter.loadOhms + source + series);
    return around(point, seen, own + slope ** 2 * seriesVariance);
  });
}

const around = (point: string, median: number, variance: number): SoundVolts => {
  const reach = TO_EDGE * Math.sqrt(variance);
  return { point, median, low: median - reach, high: median + reach };
};
