import { logSum } from "../../numerics/log-sum.ts";
import type { Nuisance } from "../chain/point-likelihoods.ts";
import type { WalkProblem } from "../problem.ts";

/**
 * The walk's shared numbers that are nearly normal, as one vector: of each supply what its meter
 * shows on a path without resistance,
 *
 *     y = E R_L / (R_L + R_s)   [V]
 *
 * the drift [V] and ln of the noise's scale, each with its normal prior. Numbers known for sure take
 * no place. Source and load stand beside it, as one branch has them: readings measure y, so that it
 * stays where it is from branch to branch, which E does not.
 */
export interface Coordinates {
  readonly prior: readonly { readonly kind: Kind; readonly mean: number; readonly sd: number }[];
  readonly nuisance: (point: Float64Array) => Nuisance;
}

export type Kind = "shown" | "drift" | "scale";

/** Source and load while a branch holds. */
export interface Branch {
  readonly sourceOhms: readonly number[];
  readonly loadOhms: readonly number[];
}

/** Tells one branch from another. */
export const keyOf = ({ sourceOhms, loadOhms }: Branch): string => `${sourceOhms} | ${loadOhms}`;

export function coordinatesOf(walk: WalkProblem, branch: Branch): Coordinates {
  const prior: { kind: Kind; mean: number; sd: number }[] = [];
  const place = (kind: Kind, mean: number, sd: number, used = true): number => {
    if (!(sd > 0) || !used) return -1;
    prior.push({ kind, mean, sd });
    return prior.length - 1;
  };
  const meters = mainMeters(walk);
  const passed = meters.map((meter, s) =>
    meter === null ? 1 : branch.loadOhms[meter]! / loopOf(branch, s, meter),
  );
  const shown = walk.supplies.map(({ emf, emfSd }, s) =>
    place("shown", passed[s]! * emf, passed[s]! * emfSd, meters[s] !== null),
  );
  const drift = place("drift", 0, walk.driftSd, readingsOf(walk) > 1);
  const scale = place("scale", 0, walk.noiseLogSd);
  const nuisance = (point: Float64Array): Nuisance => ({
    emf: walk.supplies.map(({ emf }, s) => (shown[s]! < 0 ? emf : point[shown[s]!]! / passed[s]!)),
    drift: drift < 0 ? 0 : point[drift]!,
    noiseScale: scale < 0 ? 1 : Math.exp(point[scale]!),
    ...branch,
  });
  return { prior, nuisance };
}

const readingsOf = ({ circuits }: WalkProblem): number =>
  circuits.reduce((sum, { readings }) => sum + readings.reduce((n, row) => n + row.length, 0), 0);

/** By supply, the meter that read most of its circuits' points; null where none was read. */
export const mainMeters = ({
  supplies,
  loads,
  circuits,
}: WalkProblem): readonly (number | null)[] =>
  supplies.map((_, s) => {
    const counts = loads.map(() => 0);
    let any = false;
    for (const { supply, readings, pressed } of circuits) {
      if (supply !== s) continue;
      any = true;
      for (const { meter } of readings.flat()) counts[meter]! += 1;
      for (const { meter } of pressed.flat()) counts[meter]! += 1e-3;
    }
    return any ? counts.indexOf(Math.max(...counts)) : null;
  });

/** Source and load in series [Ω]: the ohms in which a reading measures a path. */
export const loopOf = ({ sourceOhms, loadOhms }: Branch, supply: number, meter: number): number =>
  sourceOhms[supply]! + loadOhms[meter]!;

/** ln of the prior density at a point, normalised. */
export const logPrior = ({ prior }: Coordinates, point: Float64Array): number =>
  prior.reduce((sum, { mean, sd }, i) => {
    const z = (point[i]! - mean) / sd;
    return sum - 0.5 * z * z - Math.log(sd) - HALF_LOG_2PI;
  }, 0);

const HALF_LOG_2PI = 0.5 * Math.log(2 * Math.PI);

/** Coordinates under several branches, with ln of each one's weight. */
export type WeighedCoordinates = readonly WeighedPrior[];

export interface WeighedPrior {
  readonly coordinates: Coordinates;
  readonly logWeight: number;
  /** What the weight gains per volt of the first number beyond `from`. */
  readonly tilt: { readonly perVolt: number; readonly from: number } | null;
}

/** ln of one branch's weight times its prior density at a point. */
export const logWeighed = (
  { coordinates, logWeight, tilt }: WeighedPrior,
  point: Float64Array,
): number =>
  logPrior(coordinates, point) +
  logWeight +
  (tilt === null ? 0 : tilt.perVolt * (point[0]! - tilt.from));

/** ln of the prior density at a point under any of several branches: the sum over them. */
export const logMixedPrior = (parts: WeighedCoordinates, point: Float64Array): number =>
  parts.length === 1
    ? logWeighed(parts[0]!, point)
    : logSum(parts.map((part) => logWeighed(part, point)));
