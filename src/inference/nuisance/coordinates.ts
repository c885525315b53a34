import type { Nuisance } from "../chain/point-likelihoods.ts";
import type { WalkProblem } from "../problem.ts";

/**
 * The walk's shared numbers that are nearly normal, as one vector: the EMF of each supply [V], the
 * drift [V] and ln of the noise's scale, each with its normal prior. Numbers known for sure take no
 * place. Source and load stand beside it, as one branch has them.
 */
export interface Coordinates {
  readonly prior: readonly { readonly mean: number; readonly sd: number }[];
  readonly nuisance: (point: Float64Array) => Nuisance;
}

/** Source and load while a branch holds. */
export interface Branch {
  readonly sourceOhms: readonly number[];
  readonly loadOhms: readonly number[];
}

export function coordinatesOf(walk: WalkProblem, branch: Branch): Coordinates {
  const read = new Set(walk.circuits.map(({ supply }) => supply));
  const count = walk.circuits.reduce((sum, { readings }) => sum + readings.flat().length, 0);
  const prior: { mean: number; sd: number }[] = [];
  const place = (mean: number, sd: number, used = true): number => {
    if (!(sd > 0) || !used) return -1;
    prior.push({ mean, sd });
    return prior.length - 1;
  };
  const emf = walk.supplies.map((supply, s) => place(supply.emf, supply.emfSd, read.has(s)));
  const drift = place(0, walk.driftSd, count > 1);
  const scale = place(0, walk.noiseLogSd);
  const nuisance = (point: Float64Array): Nuisance => ({
    emf: walk.supplies.map((supply, s) => (emf[s]! < 0 ? supply.emf : point[emf[s]!]!)),
    drift: drift < 0 ? 0 : point[drift]!,
    noiseScale: scale < 0 ? 1 : Math.exp(point[scale]!),
    ...branch,
  });
  return { prior, nuisance };
}

/** ln of the prior density at a point, normalised. */
export const logPrior = ({ prior }: Coordinates, point: Float64Array): number =>
  prior.reduce((sum, { mean, sd }, i) => {
    const z = (point[i]! - mean) / sd;
    return sum - 0.5 * z * z - Math.log(sd) - HALF_LOG_2PI;
  }, 0);

const HALF_LOG_2PI = 0.5 * Math.log(2 * Math.PI);
