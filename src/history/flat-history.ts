import { filmPart, type LogNormal, type Pool } from "../domain/pool.ts";
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
  readonly priors: readonly LevelPriors[];
}

/** One part of the mixture that a segment's level is drawn from. */
interface LevelPrior {
  /** ln of its share, over its standard deviation. */
  readonly logWeight: number;
  readonly mean: number;
  readonly precision: number;
}

/** A segment begins sound or fouled. */
type LevelPriors = readonly [sound: LevelPrior, fouled: LevelPrior];

/** P(a segment begins fouled): a cleaning may fail, a new part seldom does. */
export const FOULED_AT_START: Readonly<Record<Segment["begunBy"], number>> = {
  "first walk": 0.2,
  reseated: 0.2,
  cleaned: 0.15,
  replaced: 0.02,
};

const levelPrior = (share: number, { medianOhms, logSd }: LogNormal): LevelPrior => ({
  logWeight: Math.log(share / logSd),
  mean: Math.log(medianOhms),
  precision: 1 / logSd ** 2,
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
      return [levelPrior(1 - fouled, contact.sound), levelPrior(fouled, filmPart(contact))];
    }),
  };
}

/** A level's prior mixture at `level`: ln density, pull and grip (by the parts' shares there). */
export function pullOfPrior(
  [sound, fouled]: LevelPriors,
  level: number,
): { value: number; pull: number; grip: number } {
  const asSound = sound.logWeight - 0.5 * sound.precision * (level - sound.mean) ** 2;
  const asFouled = fouled.logWeight - 0.5 * fouled.precision * (level - fouled.mean) ** 2;
  const share = 1 / (1 + Math.exp(asFouled - asSound));
  return {
    value: Math.max(asSound, asFouled) + Math.log1p(Math.exp(-Math.abs(asFouled - asSound))),
    pull:
      share * sound.precision * (sound.mean - level) +
      (1 - share) * fouled.precision * (fouled.mean - level),
    grip: share * sound.precision + (1 - share) * fouled.precision,
  };
}
