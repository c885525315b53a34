import { type FlatHistory, pullOfPrior } from "./flat-history.ts";
import { type LineLikelihood, lineLikelihood, saysNothing } from "./line-likelihood.ts";

/** What a class of contacts has in common. */
export interface ClassPrior {
  /** Mean growth [ln ohm a week] and its variance from contact to contact. */
  readonly growth: number;
  readonly growthVariance: number;
  /** Variance about the line from walk to walk, beyond the readings' own error. */
  readonly scatterVariance: number;
}

/** A point of the posterior: one growth, one level (ln ohms at its first day) for each segment. */
export interface LinePoint {
  growth: number;
  readonly levels: Float64Array;
}

/** Gradient and curvature of the log posterior: an arrowhead, one row a segment, one for growth. */
export interface Arrowhead {
  readonly levelPull: Float64Array;
  readonly levelGrip: Float64Array;
  readonly cross: Float64Array;
  growthPull: number;
  growthGrip: number;
  /** ln posterior at the point, up to a constant. */
  value: number;
}

const scratch: LineLikelihood = { value: 0, pull: 0, grip: 0, information: 0, tame: 0 };

export function assemble(
  flat: FlatHistory,
  prior: ClassPrior,
  at: LinePoint,
  curvature: "grip" | "information",
): Arrowhead {
  const size = flat.priors.length;
  const sum: Arrowhead = {
    levelPull: new Float64Array(size),
    levelGrip: new Float64Array(size),
    cross: new Float64Array(size),
    growthPull: (prior.growth - at.growth) / prior.growthVariance,
    growthGrip: 1 / prior.growthVariance,
    value: (-0.5 * (at.growth - prior.growth) ** 2) / prior.growthVariance,
  };
  flat.priors.forEach((parts, s) => {
    const { value, pull, grip } = pullOfPrior(parts, at.levels[s]!);
    sum.value += value;
    sum.levelPull[s] = pull;
    sum.levelGrip[s] = grip;
  });
  for (let j = 0; j < flat.weeks.length; j++) {
    const s = flat.segment[j]!;
    const weeks = flat.weeks[j]!;
    const expected = at.levels[s]! + at.growth * weeks;
    const variance = flat.errorVariance[j]! + prior.scatterVariance;
    const low = flat.low[j]!;
    const high = flat.high[j]!;
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
export function growthAlone(sum: Arrowhead): { pull: number; grip: number } {
  let { growthPull: pull, growthGrip: grip } = sum;
  for (let s = 0; s < sum.cross.length; s++) {
    const ratio = sum.cross[s]! / sum.levelGrip[s]!;
    pull -= ratio * sum.levelPull[s]!;
    grip -= ratio * sum.cross[s]!;
  }
  return { pull, grip };
}
