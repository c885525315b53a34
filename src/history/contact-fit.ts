import type { LogNormal, Pool } from "../domain/pool.ts";
import type { ContactHistory, Segment } from "./contact-history.ts";
import { type LineLikelihood, lineLikelihood, saysNothing } from "./line-likelihood.ts";

/**
 * One contact's line: ln ohms = level of the segment + growth * weeks since the segment began.
 *
 * One growth for the contact, one level for each segment. Found by Newton steps on the posterior
 * under the class's prior, with the normal approximation at its top. The steps bound each mixture
 * from below by a quadratic (EM), so they climb; the final curvature is the observed one.
 */
export interface ContactFit {
  /** ln of the posterior's mass about this top, up to a constant: to choose between tops. */
  evidence: number;
  /** [ln ohm a week] */
  growth: number;
  growthVariance: number;
  /** Growth and variance by this contact's own observations alone; infinite variance: none. */
  ownGrowth: number;
  ownVariance: number;
  readonly levels: SegmentLevel[];
}

/** Where one segment began. */
export interface SegmentLevel {
  /** ln ohms at the segment's first day. */
  level: number;
  levelVariance: number;
  /** Covariance of level and growth. */
  covariance: number;
  /** Level and variance without the level's prior; infinite variance: nothing was seen of it. */
  ownLevel: number;
  ownVariance: number;
}

/** What a class of contacts has in common. */
export interface ClassPrior {
  /** Mean growth [ln ohm a week] and its variance from contact to contact. */
  readonly growth: number;
  readonly growthVariance: number;
  /** Variance about the line from walk to walk, beyond the readings' own error. */
  readonly scatterVariance: number;
}

/** A contact's observations, flat. */
export interface FlatHistory {
  readonly segment: Int32Array;
  readonly weeks: Float64Array;
  /** ln ohms; equal where resolved. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Variance of the reading's own error, 0 for a bound. */
  readonly errorVariance: Float64Array;
  readonly priors: readonly (readonly LevelPrior[])[];
}

/** One part of the mixture that a segment's level is drawn from. */
interface LevelPrior {
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

/** Lays a history out for the fit; what was unseen is left out. */
export function flatten(history: ContactHistory, contact: Pool["contact"]): FlatHistory {
  const rows = history.segments.flatMap((segment, at) =>
    segment.observations.flatMap(({ weeks, sight }) =>
      sight.kind === "resolved"
        ? [{ at, weeks, low: sight.logOhms, high: sight.logOhms, error: sight.error ** 2 }]
        : sight.kind === "bound"
          ? [{ at, weeks, low: sight.low, high: sight.high, error: 0 }]
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

const fitAt = (growth: number, levels: readonly number[]): ContactFit => ({
  evidence: -Infinity,
  growth,
  growthVariance: 0,
  ownGrowth: growth,
  ownVariance: Infinity,
  levels: levels.map((level) => ({
    level,
    levelVariance: 0,
    covariance: 0,
    ownLevel: level,
    ownVariance: Infinity,
  })),
});

/**
 * First guesses, since the posterior may have two tops: that segments with resolved values began
 * high and grew as their class does, or that all began sound and grew fast enough to get there.
 */
function starts(flat: FlatHistory, prior: ClassPrior): readonly ContactFit[] {
  const sound = flat.priors.map((parts) => parts[0]!.mean);
  const sums = new Float64Array(sound.length);
  const counts = new Float64Array(sound.length);
  let [rise, run] = [0, 0];
  for (let j = 0; j < flat.weeks.length; j++) {
    if (flat.low[j]! !== flat.high[j]!) continue;
    const s = flat.segment[j]!;
    sums[s]! += flat.low[j]! - prior.growth * flat.weeks[j]!;
    counts[s]! += 1;
    rise += (flat.low[j]! - sound[s]!) * flat.weeks[j]!;
    run += flat.weeks[j]! ** 2;
  }
  const high = sound.map((level, s) => (counts[s]! > 0 ? sums[s]! / counts[s]! : level));
  const fromHigh = fitAt(prior.growth, high);
  return run === 0 ? [fromHigh] : [fromHigh, fitAt(rise / run, sound)];
}

/** The best line of one contact, looked for from the first guesses. */
export function fitContact(flat: FlatHistory, prior: ClassPrior): ContactFit {
  const tops = starts(flat, prior);
  for (const fit of tops) climb(flat, prior, fit);
  return tops.reduce((best, fit) => (fit.evidence > best.evidence ? fit : best));
}

/** Gradient and curvature of the log posterior: an arrowhead, one row a segment, one for growth. */
interface Arrowhead {
  readonly levelPull: Float64Array;
  readonly levelGrip: Float64Array;
  readonly cross: Float64Array;
  growthPull: number;
  growthGrip: number;
  /** ln posterior at the point, up to a constant. */
  value: number;
}

const scratch: LineLikelihood = { value: 0, pull: 0, grip: 0, information: 0, tame: 0 };

/** A level's prior mixture at `level`: ln density, pull and grip (by the parts' shares there). */
function pullOfPrior(
  parts: readonly LevelPrior[],
  level: number,
): { value: number; pull: number; grip: number } {
  let total = 0;
  let pull = 0;
  let grip = 0;
  for (const { share, mean, variance } of parts) {
    const weight =
      (share * Math.exp((-0.5 * (level - mean) ** 2) / variance)) / Math.sqrt(variance);
    total += weight;
    pull += (weight * (mean - level)) / variance;
    grip += weight / variance;
  }
  if (total < 1e-300) throw new Error(`level ${level} is out of all reason`);
  return { value: Math.log(total), pull: pull / total, grip: grip / total };
}

function assemble(
  flat: FlatHistory,
  prior: ClassPrior,
  fit: ContactFit,
  curvature: "grip" | "information",
): Arrowhead {
  const size = flat.priors.length;
  const sum: Arrowhead = {
    levelPull: new Float64Array(size),
    levelGrip: new Float64Array(size),
    cross: new Float64Array(size),
    growthPull: (prior.growth - fit.growth) / prior.growthVariance,
    growthGrip: 1 / prior.growthVariance,
    value: (-0.5 * (fit.growth - prior.growth) ** 2) / prior.growthVariance,
  };
  flat.priors.forEach((parts, s) => {
    const { value, pull, grip } = pullOfPrior(parts, fit.levels[s]!.level);
    sum.value += value;
    sum.levelPull[s] = pull;
    sum.levelGrip[s] = grip;
  });
  for (let j = 0; j < flat.weeks.length; j++) {
    const s = flat.segment[j]!;
    const weeks = flat.weeks[j]!;
    const expected = fit.levels[s]!.level + fit.growth * weeks;
    const variance = flat.errorVariance[j]! + prior.scatterVariance;
    const [low, high] = [flat.low[j]!, flat.high[j]!];
    if (saysNothing(low, high, variance, expected)) continue;
    lineLikelihood(low, high, variance, expected, scratch);
    const grip = scratch[curvature];
    sum.value += scratch.value;
    sum.levelPull[s]! += scratch.pull;
    sum.levelGrip[s]! += grip;
    sum.cross[s]! += grip * weeks;
    sum.growthPull += scratch.pull * weeks;
    sum.growthGrip += grip * weeks * weeks;
  }
  return sum;
}

/** What is left of growth's pull and grip once the levels are free to follow. */
function growthAlone(sum: Arrowhead): { pull: number; grip: number } {
  let { growthPull: pull, growthGrip: grip } = sum;
  for (let s = 0; s < sum.cross.length; s++) {
    const ratio = sum.cross[s]! / sum.levelGrip[s]!;
    pull -= ratio * sum.levelPull[s]!;
    grip -= ratio * sum.cross[s]!;
  }
  return { pull, grip };
}

const MAX_STEPS = 60;
const clamp = (step: number, most: number): number => Math.max(-most, Math.min(most, step));

/** Climbs from `fit` to the top of the posterior and leaves `fit` there. */
export function climb(flat: FlatHistory, prior: ClassPrior, fit: ContactFit): void {
  for (let iteration = 0; iteration < MAX_STEPS; iteration++) {
    const sum = assemble(flat, prior, fit, "grip");
    const { pull, grip } = growthAlone(sum);
    const step = clamp(pull / grip, 0.5);
    fit.growth += step;
    let largest = Math.abs(step) * 10;
    for (let s = 0; s < sum.cross.length; s++) {
      const move = clamp((sum.levelPull[s]! - sum.cross[s]! * step) / sum.levelGrip[s]!, 2);
      fit.levels[s]!.level += move;
      largest = Math.max(largest, Math.abs(move));
    }
    if (largest < 1e-4) break;
  }
  const sum = assemble(flat, prior, fit, "information");
  const { grip } = growthAlone(sum);
  fit.growthVariance = 1 / grip;
  fit.evidence = sum.value - 0.5 * Math.log(grip);
  for (let s = 0; s < sum.cross.length; s++) {
    const ratio = sum.cross[s]! / sum.levelGrip[s]!;
    const level = fit.levels[s]!;
    fit.evidence -= 0.5 * Math.log(sum.levelGrip[s]!);
    level.levelVariance = 1 / sum.levelGrip[s]! + ratio ** 2 * fit.growthVariance;
    level.covariance = -ratio * fit.growthVariance;
    const before = pullOfPrior(flat.priors[s]!, level.level);
    const ownPrecision = 1 / level.levelVariance - before.grip;
    if (ownPrecision <= 0.05 * before.grip) continue;
    level.ownVariance = 1 / ownPrecision;
    level.ownLevel = level.level - before.pull / ownPrecision;
  }
  const own = grip - 1 / prior.growthVariance;
  fit.ownVariance = own > 1e-9 ? 1 / own : Infinity;
  fit.ownGrowth =
    own > 1e-9 ? (fit.growth * grip - prior.growth / prior.growthVariance) / own : prior.growth;
}
