import { logSum } from "../../numerics/log-sum.ts";
import type { Nuisance } from "../chain/point-likelihoods.ts";
import type { WalkProblem } from "../problem.ts";
import {
  type Branch,
  type Coordinates,
  coordinatesOf,
  logMixedPrior,
  logPrior,
  mainMeters,
  type WeighedCoordinates,
} from "./coordinates.ts";
import { crossIntegral } from "./cross.ts";
import { type NormalFit, normalAtMaximum, sdOf } from "./normal-fit.ts";
import { planeIntegral } from "./plane.ts";
import { productIntegral } from "./product.ts";
import type { Sketch } from "./sketch.ts";
import { type Evaluated, type Integral, starIntegral } from "./star.ts";

/** Walks of fewer circuits than this are not nearly normal in anything: no star is tried. */
export const FEW = 4;
/** Walks of so many circuits take long for each node: a product rule of few has to do. */
const MANY = 8;
/** A bundle of less than this part of another's mass moves no figure that is said. */
const SLIGHT = 0.01;
/** A mode of so much less mass than the best, in ln, is not worth a fit. */
const WORTH = 12;
/** The first look at an EMF. */
const GRID = 32;
const REACH_SDS = 8;

/** Where one branch's posterior is, by the sketches of all circuits. */
export interface Look {
  readonly coordinates: Coordinates;
  /** That of most mass first; empty only where there is nothing to integrate. */
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

/**
 * @param near A look at a branch nearby, whose modes are where these start; null: the whole axis of
 *   each supply is looked along.
 */
export function lookAt(walk: WalkProblem, branch: Branch, sketch: Sketch, near: Look | null): Look {
  const coordinates = coordinatesOf(walk, branch);
  const { prior } = coordinates;
  const score = scoreOf(coordinates, sketch);
  const centre = Float64Array.from(prior, ({ mean }) => mean);
  if (prior.length === 0) return { coordinates, fits: [], logMass: score(centre) };
  const noise = finestNoise(walk);
  const count = walk.circuits.reduce((sum, { readings }) => sum + readings.flat().length, 0);
  const shown = highestShown(walk);
  const emfs = shown.length;
  const steps = Float64Array.from(prior, ({ sd }, i) =>
    i < emfs ? Math.min(0.5 * sd, (1.5 * noise) / Math.sqrt(Math.max(1, count / 4))) : 0.4 * sd,
  );
  const isOne = (fit: NormalFit, at: Float64Array): boolean =>
    prior.every((_, i) => i >= emfs || Math.abs(at[i]! - fit.mean[i]!) < SAME_MODE * sdOf(fit, i));
  const tops = modesAlongEmf(score, coordinates, emfs, (s) => ({
    first: shown[s]!,
    more: near?.fits.map(({ mean }) => mean[s]!) ?? evenly(prior[s]!),
  }));
  const known = near?.fits ?? [];
  const isKnown = (top: Float64Array): boolean => known.some((fit) => isOne(fit, top));
  // Panels of a walk of few circuits pass over what is nearly as wide as the prior by themselves.
  const isPassed = (fit: NormalFit): boolean =>
    walk.circuits.length < FEW && sdOf(fit, 0) > PASSED * prior[0]!.sd;
  const isMet = (fit: NormalFit): boolean => isPassed(fit) || tops.some((top) => isOne(fit, top));
  // Of several supplies, modes nearby first: a line along one EMF shows but those of one of the others'.
  // Of one, those last that its few places hide behind a higher one.
  const starts = (
    emfs > 1
      ? [...known.map(({ mean }) => mean), ...tops.filter((top) => !isKnown(top))]
      : [...tops, ...known.filter((fit) => !isMet(fit)).map(({ mean }) => mean)]
  ).slice(0, MOST_STARTS);
  const fits = starts
    .map((start) => {
      const fit = normalAtMaximum(score, start, steps);
      const isMode = fit !== null && prior.every(({ sd }, i) => sdOf(fit, i) < WIDEST * sd);
      return isMode ? fit : unsettled(start, prior, steps);
    })
    .map((fit) => {
      const width = fit.root.reduce((sum, column, i) => sum + Math.log(column[i]!), 0);
      const value = score(fit.mean);
      return { value, mass: value + width, ...fit };
    })
    .sort((a, b) => b.mass - a.mass);
  const worth = fits.filter(({ mass }) => mass > fits[0]!.mass - WORTH);
  const apart = worth.filter((fit, i) => !worth.slice(0, i).some(({ mean }) => isOne(fit, mean)));
  const logMass = logSum(
    apart.map(({ value, root }) =>
      root.reduce((sum, column, i) => sum + Math.log(column[i]!) + HALF_LOG_2PI, value),
    ),
  );
  return { coordinates, fits: apart, logMass };
}

/** A hill of more than this part of the prior's width is no place of its own. */
const PASSED = 0.5;
/** Modes no further apart than this along every EMF, in standard deviations, are one. */
const SAME_MODE = 0.3;

const HALF_LOG_2PI = 0.5 * Math.log(2 * Math.PI);

/** ln of the sketched posterior at a point, the branch's own weight left out. */
export const scoreOf =
  (coordinates: Coordinates, sketch: Sketch) =>
  (point: Float64Array, least?: number): number => {
    const log = logPrior(coordinates, point);
    return log + sketch(coordinates.nuisance(point), least === undefined ? least : least - log);
  };

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

/** What a sketch makes wider than so many of its prior's standard deviations is a saddle, no mode. */
const WIDEST = 2;
const MOST_STARTS = 6;

const evenly = ({ mean, sd }: Coordinates["prior"][number]): readonly number[] =>
  Array.from({ length: GRID + 1 }, (_, i) => mean + ((2 * i) / GRID - 1) * REACH_SDS * sd);

/** By EMF that has a place, what its circuits show at most: there it may be if they are sound. */
export function highestShown(walk: WalkProblem): readonly (readonly number[])[] {
  const meters = mainMeters(walk);
  return walk.supplies.flatMap(({ emfSd }, s) => {
    if (!(emfSd > 0) || meters[s] === null) return [];
    const values = walk.circuits.flatMap(({ supply, readings }) => {
      const shown = readings.flat().filter(({ meter }) => meter === meters[s]);
      return supply === s && shown.length > 0 ? [Math.max(...shown.map((one) => one.shown))] : [];
    });
    const falling = values.sort((a, b) => b - a);
    const apart = falling.filter((x, i) => i === 0 || falling[i - 1]! - x > TOGETHER);
    return [apart.slice(0, MOST_SHOWN)];
  });
}

/** Values no further apart [V] are one place to look at; so many are looked at. */
const TOGETHER = 0.01;
const MOST_SHOWN = 8;

/**
 * Local maxima along each EMF in turn among its places, the other numbers at their prior's middle.
 *
 * @param placesOf Those that tell most first: the others are left as soon as they are hopeless.
 */
function modesAlongEmf(
  score: (point: Float64Array, least?: number) => number,
  { prior }: Coordinates,
  emfs: number,
  placesOf: (emf: number) => {
    readonly first: readonly number[];
    readonly more: readonly number[];
  },
): readonly Float64Array[] {
  let starts: readonly Float64Array[] = [Float64Array.from(prior, ({ mean }) => mean)];
  for (let s = 0; s < emfs; s++) {
    const base = starts[0]!;
    const scored = (least?: number) => (at: number) => {
      const point = base.slice();
      point[s] = at;
      return { at, value: score(point, least) };
    };
    const { first, more } = placesOf(s);
    const told = [prior[s]!.mean, ...first].map(scored());
    const enough = Math.max(...told.map(({ value }) => value)) - HOPELESS;
    const line = [...told, ...more.map(scored(enough))].sort((a, b) => a.at - b.at);
    const best = Math.max(...line.map(({ value }) => value));
    const tops = line
      .filter(
        ({ value }, i) =>
          value > best - HOPELESS &&
          value >= (line[i - 1]?.value ?? Number.NEGATIVE_INFINITY) &&
          value >= (line[i + 1]?.value ?? Number.NEGATIVE_INFINITY),
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
  return starts;
}

/** So far below the best of a line, in ln, a place is no start. */
const HOPELESS = 25;

/** How much is summed: all, nearly the same for less work, or what goes along with it for still less. */
export type Care = "whole" | "light" | "sparse";

/** What is to be integrated, with what is found on the way. */
interface Sums<Found> {
  readonly at: (nuisance: Nuisance, care: Care) => Found;
  /** Whether less is summed than with more care. */
  readonly leavesOut: (care: Care) => boolean;
}

/**
 * Integrates one branch, or several that its likelihood stands for: a star where the posterior is
 * nearly normal, else a product rule. A star is laid by sparse sums; the whole ones at its centre
 * then add what they left out.
 *
 * @param coarse Whether many more bundles are added up.
 * @param best ln of the largest mass of the others so far: of one that is slight beside it, a star
 *   need not be exact.
 */
export function integrateBranch<Found extends { readonly logLikelihood: number }>(
  walk: WalkProblem,
  { coordinates, fits }: Look,
  priors: WeighedCoordinates,
  sums: Sums<Found>,
  { coarse, best }: { readonly coarse: boolean; readonly best: number },
): Integral<Found> {
  const by =
    (care: Care) =>
    (points: readonly Float64Array[]): readonly Evaluated<Found>[] =>
      points.map((point) => {
        const found = sums.at(coordinates.nuisance(point), care);
        const log = found.logLikelihood + logMixedPrior(priors, point);
        // Far from every reading a likelihood may come to nothing at all.
        return { logPosterior: Number.isNaN(log) ? Number.NEGATIVE_INFINITY : log, found };
      });
  const wholly = by("whole");
  const lightly = sums.leavesOut("light") ? by("light") : wholly;
  const sparsely = sums.leavesOut("sparse") ? by("sparse") : lightly;
  if (fits.length === 0) {
    const point = new Float64Array(0);
    const [one] = wholly([point]);
    return {
      logMass: one!.logPosterior,
      nodes: [{ point, found: one!.found, weight: 1, alone: 1 }],
    };
  }
  if (fits.length === 1 && walk.circuits.length >= FEW) {
    const star = starIntegral(fits[0]!, sparsely, best + Math.log(SLIGHT));
    if (star !== null) {
      return sparsely === wholly ? star : completed(star, wholly([star.nodes[0]!.point])[0]!);
    }
  }
  const kinds = coordinates.prior.map(({ kind }) => kind);
  const roughly = coarse || walk.circuits.length >= MANY;
  const isWorthIt = roughly || kinds.includes("scale");
  if (kinds.lastIndexOf("shown") === 0 && isWorthIt) {
    const evaluators = { wholly, lightly, sparsely };
    const cross = crossIntegral(fits, kinds, finestNoise(walk), roughly, evaluators);
    if (cross !== null) return cross;
  }
  const integral = kinds[1] === "shown" ? planeIntegral : productIntegral;
  return integral(fits, kinds, finestNoise(walk), roughly, wholly);
}

/** Adds to a star what the whole sums at its centre have more than the sparse ones. */
function completed<Found extends { readonly logLikelihood: number }>(
  { logMass, nodes }: Integral<Found>,
  { found }: Evaluated<Found>,
): Integral<Found> {
  const [centre, ...outer] = nodes;
  return {
    logMass: logMass + found.logLikelihood - centre!.found.logLikelihood,
    nodes: [
      { point: centre!.point, found, weight: 1, alone: 1 },
      { ...centre!, weight: centre!.weight - 1, alone: 0 },
      ...outer,
    ],
  };
}
