import type { GaussRule } from "../../numerics/gauss-rule.ts";
import { along, type NormalFit, sdOf } from "./normal-fit.ts";
import { type Bounds, type PanelIntegral, panelIntegral } from "./panels.ts";

/** How well the first number's density is known where many branches are added up. */
export const COARSE_BOUNDS: Bounds = { settled: 0.02, far: 7, most: 12 };

/** The integral along the first number, the others where the nearest of `fits` puts them. */
export function outerIntegral(
  fits: readonly NormalFit[],
  nodesFor: readonly ((sd: number) => number)[],
  bounds: Bounds | undefined,
  logPosteriors: (points: readonly Float64Array[]) => readonly number[],
): PanelIntegral {
  const at = placedBy(fits);
  const centre = new Array<number>(fits[0]!.mean.length - 1).fill(0);
  return panelIntegral(
    bordersAlong(fits, 0),
    (firsts) => logPosteriors(firsts.map((first) => at(first, centre).point)),
    nodesFor,
    bounds,
  );
}

/** Where the first number is at a value and the others so far from where the nearest fit puts them. */
export const placedBy =
  (fits: readonly NormalFit[]) =>
  (
    first: number,
    others: readonly number[],
  ): { readonly fit: NormalFit; readonly z: readonly number[]; readonly point: Float64Array } => {
    const fit = nearest(fits, first);
    const z = [(first - fit.mean[0]!) / fit.root[0]![0]!, ...others];
    return { fit, z, point: along(fit, z) };
  };

const nearest = (fits: readonly NormalFit[], at: number): NormalFit =>
  fits.reduce((best, fit) =>
    Math.abs(fit.mean[0]! - at) / fit.root[0]![0]! <
    Math.abs(best.mean[0]! - at) / best.root[0]![0]!
      ? fit
      : best,
  );

/** ln of the density at its centre of the conditional normal, the first so many numbers being given. */
export const conditional = ({ root }: NormalFit, given = 1): number =>
  root
    .slice(given)
    .reduce(
      (sum, column, i) => sum - Math.log(column[i + given]!) - 0.5 * Math.log(2 * Math.PI),
      0,
    );

/**
 * Where panels along an axis end at first: around each fit, so close that a normal needs no halving, and
 * where another fit becomes the nearest.
 */
export function bordersAlong(fits: readonly NormalFit[], axis: number): readonly number[] {
  const hills = fits
    .map((fit) => ({ mean: fit.mean[axis]!, sd: sdOf(fit, axis) }))
    .sort((a, b) => a.mean - b.mean);
  const marks = hills.flatMap(({ mean, sd }) => [-5, -1.7, 1.7, 5].map((z) => mean + z * sd));
  const between = hills.slice(1).map((hill, i) => {
    const before = hills[i]!;
    return (before.mean * hill.sd + hill.mean * before.sd) / (hill.sd + before.sd);
  });
  const least = Math.min(...hills.map(({ sd }) => sd));
  const clear = marks.filter((mark) => between.every((one) => Math.abs(mark - one) > 0.5 * least));
  const sorted = [...clear, ...between].sort((a, b) => a - b);
  return sorted.filter((mark, i) => i === 0 || mark - sorted[i - 1]! > 0.5 * least);
}

/** Every combination of several rules' nodes. */
export function productRule(
  rules: readonly GaussRule[],
): readonly { readonly z: number[]; readonly weight: number }[] {
  return rules.reduce<readonly { z: number[]; weight: number }[]>(
    (sofar, { nodes, weights }) =>
      sofar.flatMap(({ z, weight }) =>
        Array.from(nodes, (x, i) => ({ z: [...z, x], weight: weight * weights[i]! })),
      ),
    [{ z: [], weight: 1 }],
  );
}
