import { logSum } from "../../numerics/log-sum.ts";
import type { Nuisance } from "../chain/point-likelihoods.ts";
import type { WalkProblem } from "../problem.ts";
import { type Branch, type Coordinates, coordinatesOf, logPrior } from "./coordinates.ts";
import { type NormalFit, normalAtMaximum } from "./normal-fit.ts";
import { productIntegral } from "./product.ts";
import type { Sketch } from "./sketch.ts";
import { type Evaluated, type Integral, starIntegral } from "./star.ts";

/** Walks of fewer circuits than this are not nearly normal in anything: no star is tried. */
const FEW = 4;
/** A mode this far below the best, in ln, is not worth a fit. */
const WORTH = 12;
/** The first look at an EMF. */
const GRID = 32;
const REACH_SDS = 8;

/** Where one branch's posterior is, by the sketches of all circuits. */
export interface Look {
  readonly coordinates: Coordinates;
  /** The best first; empty only where there is nothing to integrate. */
  readonly fits: readonly NormalFit[];
  /** ln of the sketched posterior's integral. */
  readonly logMass: number;
}

/** The smallest noise of a reading of the walk [V]. */
export const finestNoise = (walk: WalkProblem): number =>
  Math.min(
    1,
    ...walk.circuits.flatMap(({ readings }) => readings.flat().map(({ noise }) => noise)),
  );

export function lookAt(walk: WalkProblem, branch: Branch, sketches: readonly Sketch[]): Look {
  const coordinates = coordinatesOf(walk, branch);
  const { prior, nuisance } = coordinates;
  const score = (point: Float64Array): number => {
    const at = nuisance(point);
    return sketches.reduce((sum, sketch) => sum + sketch(at), logPrior(coordinates, point));
  };
  const centre = Float64Array.from(prior, ({ mean }) => mean);
  if (prior.length === 0) return { coordinates, fits: [], logMass: score(centre) };
  const noise = finestNoise(walk);
  const count = walk.circuits.reduce((sum, { readings }) => sum + readings.flat().length, 0);
  const emfs = walk.supplies.filter(({ emfSd }) => emfSd > 0).length;
  const steps = Float64Array.from(prior, ({ sd }, i) =>
    i < emfs ? Math.min(0.5 * sd, (1.5 * noise) / Math.sqrt(Math.max(1, count / 4))) : 0.4 * sd,
  );
  const starts = modesAlongEmf(score, coordinates, emfs);
  const fits = starts
    .map((start) => normalAtMaximum(score, start, steps) ?? unsettled(start, prior, steps))
    .map((fit) => ({ ...fit, value: score(fit.mean) }))
    .sort((a, b) => b.value - a.value);
  const worth = fits.filter(({ value }) => value > fits[0]!.value - WORTH);
  const apart = worth.filter(
    ({ mean, root }, i) =>
      !worth.slice(0, i).some((other) => Math.abs(other.mean[0]! - mean[0]!) < 0.3 * root[0]![0]!),
  );
  const logMass = logSum(
    apart.map(({ value, root }) =>
      root.reduce((sum, column, i) => sum + Math.log(column[i]!) + HALF_LOG_2PI, value),
    ),
  );
  return { coordinates, fits: apart, logMass };
}

const HALF_LOG_2PI = 0.5 * Math.log(2 * Math.PI);

/** Where Newton's method finds no top: the prior's widths, cut by what one reading tells. */
const unsettled = (
  start: Float64Array,
  prior: Coordinates["prior"],
  steps: Float64Array,
): NormalFit => ({
  mean: start,
  root: prior.map(({ sd }, i) =>
    Float64Array.from(prior, (_, row) => (row === i ? Math.min(sd, 2 * steps[i]!) : 0)),
  ),
});

/** Local maxima along each EMF in turn, the other numbers at their prior's middle. */
function modesAlongEmf(
  score: (point: Float64Array) => number,
  { prior }: Coordinates,
  emfs: number,
): readonly Float64Array[] {
  let starts: readonly Float64Array[] = [Float64Array.from(prior, ({ mean }) => mean)];
  for (let s = 0; s < emfs; s++) {
    const { mean, sd } = prior[s]!;
    const step = (2 * REACH_SDS * sd) / GRID;
    const base = starts[0]!;
    const grid = Array.from({ length: GRID + 1 }, (_, i) => {
      const point = base.slice();
      point[s] = mean + (i - GRID / 2) * step;
      return { at: point[s]!, value: score(point) };
    });
    const best = Math.max(...grid.map(({ value }) => value));
    const tops = grid
      .filter(
        ({ value }, i) =>
          value > best - 25 &&
          value >= (grid[i - 1]?.value ?? Number.NEGATIVE_INFINITY) &&
          value >= (grid[i + 1]?.value ?? Number.NEGATIVE_INFINITY),
      )
      .sort((a, b) => b.value - a.value)
      .slice(0, 4);
    starts = starts.flatMap((start) =>
      tops.map(({ at }) => {
        const point = start.slice();
        point[s] = at;
        return point;
      }),
    );
  }
  return starts.slice(0, 6);
}

/** Integrates one branch: a star where the posterior is nearly normal, else a product rule. */
export function integrateBranch<Found extends { readonly logLikelihood: number }>(
  walk: WalkProblem,
  look: Look,
  evaluateAt: (nuisance: Nuisance) => Found,
  coarse: boolean,
): Integral<Found> {
  const { coordinates, fits } = look;
  const evaluate = (points: readonly Float64Array[]): readonly Evaluated<Found>[] =>
    points.map((point) => {
      const found = evaluateAt(coordinates.nuisance(point));
      return { logPosterior: found.logLikelihood + logPrior(coordinates, point), found };
    });
  if (fits.length === 0) {
    const found = evaluateAt(coordinates.nuisance(new Float64Array(0)));
    return {
      logMass: found.logLikelihood,
      nodes: [{ point: new Float64Array(0), found, weight: 1, alone: 1 }],
    };
  }
  const near = fits.length === 1 && walk.circuits.length >= FEW;
  const star = near ? starIntegral(fits[0]!, evaluate) : null;
  return star ?? productIntegral(fits, finestNoise(walk), coarse, evaluate);
}
