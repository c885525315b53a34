import type { LogNormal, Pool } from "../domain/pool.ts";
import type { ContactHistory, Segment } from "./contact-history.ts";

/** A contact's observations, flat. */
export interface FlatHistory {
  readonly segment: Int32Array;
  readonly weeks: Float64Array;
  /** ln ohms; equal where resolved. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Variance of the reading's own error. */
  readonly errorVariance: Float64Array;
  readonly priors: readonly (readonly LevelPrior[])[];
}

/** One part of the mixture that a segment's level is drawn from. */
export interface LevelPrior {
  readonly share: number;
  readonly mean: number;
  readonly variance: number;
}

/** P(a segment begins fouled): a cleaning may fail, a new part seldom does. */
const FOULED_AT_START: Readonly<Record<Segment["begunBy"], number>> = {
  "first walk": 0.2,
  reseated: 0.2,
  cleaned: 0.15,
  replaced: 0.02,
};

const levelPrior = (share: number, { medianOhms, logSd }: LogNormal): LevelPrior => ({
  share,
  mean: Math.log(medianOhms),
  variance: logSd ** 2,
});

/** Error of a value right at a bound [ln ohm]: a limit of detection is three standard deviations. */
const AT_LIMIT = 1 / 3;

/** Lays a history out for the fit; what was unseen is left out. */
export function flatten(history: ContactHistory, contact: Pool["contact"]): FlatHistory {
  const rows = history.segments.flatMap((segment, at) =>
    segment.observations.flatMap(({ weeks, sight }) =>
      sight.kind === "resolved"
        ? [{ at, weeks, low: sight.logOhms, high: sight.logOhms, error: sight.error ** 2 }]
        : sight.kind === "bound"
          ? [{ at, weeks, low: sight.low, high: sight.high, error: AT_LIMIT ** 2 }]
          : [],
    ),
  );
  return {
    segment: Int32Array.from(rows, ({ at }) => at),
    weeks: Float64Array.from(rows, ({ weeks }) => weeks),
    low: Float64Array.from(rows, ({ low }) => low),
    high: Float64Array.from(rows, ({ high }) => high),
    errorVariance: Float64Array.from(rows, ({ error }) => error),
    priors: history.segments.map(({ begunBy }) => {
      const fouled = FOULED_AT_START[begunBy];
      return [levelPrior(1 - fouled, contact.sound), levelPrior(fouled, contact.fouled)];
    }),
  };
}

/** A level's prior mixture at `level`: ln density, pull and grip (by the parts' shares there). */
export function pullOfPrior(
  parts: readonly LevelPrior[],
  level: number,
): { value: number; pull: number; grip: number } {
  const logs = parts.map(
    ({ share, mean, variance }) =>
      Math.log(share) - (0.5 * (level - mean) ** 2) / variance - 0.5 * Math.log(variance),
  );
  const top = Math.max(...logs);
  let [total, pull, grip] = [0, 0, 0];
  parts.forEach(({ mean, variance }, i) => {
    const weight = Math.exp(logs[i]! - top);
    total += weight;
    pull += (weight * (mean - level)) / variance;
    grip += weight / variance;
  });
  return { value: top + Math.log(total), pull: pull / total, grip: grip / total };
}
