import type { ContactFinding } from "../domain/findings.ts";
import type { LogNormal } from "../domain/pool.ts";
import { normalQuantile } from "../numerics/normal.ts";

/** Mean and standard deviation of something uncertain. */
export interface Spread {
  readonly mean: number;
  readonly sd: number;
}

/** The levels that a finding's quantiles stand at, over all three states, open counting highest. */
const LEVELS = [0.05, 0.5, 0.95] as const;
/** Quantiles of the fouled part that a finding still shows. */
const [LOWEST, HIGHEST] = [0.02, 0.98];

/**
 * The fouled part of a finding's resistance as a log-normal.
 *
 * A finding gives quantiles over all states, what comes and goes counting with its sound resistance.
 * Those lie far under fouled ones, so a quantile at level u is the fouled part's at
 * (u - sound - intermittent) / fouled. Two such give mean and spread;
 * one gives the mean, with the prior's spread; none leaves the prior.
 */
export function fouledSpread(
  finding: Pick<ContactFinding, "sound" | "fouled" | "intermittent" | "ohms">,
  prior: LogNormal,
): Spread {
  const { median, low, high } = finding.ohms;
  const under = finding.sound + finding.intermittent;
  const shown = [low, median, high].flatMap((ohms, k) => {
    const level = ((LEVELS[k] as number) - under) / finding.fouled;
    return level > LOWEST && level < HIGHEST && Number.isFinite(ohms) && ohms > 0
      ? [{ z: normalQuantile(level), log: Math.log(ohms) }]
      : [];
  });
  const [first, last] = [shown[0], shown.at(-1)];
  if (first === undefined || last === undefined)
    return { mean: Math.log(prior.medianOhms), sd: prior.logSd };
  if (first === last) return { mean: first.log - prior.logSd * first.z, sd: prior.logSd };
  const sd = (last.log - first.log) / (last.z - first.z);
  return { mean: last.log - sd * last.z, sd };
}
