import type { Estimate } from "../domain/findings.ts";

/** One node of the integral over the EMF. */
export interface EmfNode<Evidence> {
  readonly emf: number;
  /** Posterior weight; the weights sum to 1. */
  readonly weight: number;
  readonly evidence: Evidence;
}

export interface EmfPosterior<Evidence> {
  readonly nodes: readonly EmfNode<Evidence>[];
  readonly logEvidence: number;
  readonly estimate: Estimate;
}

/** ln of the normal density. */
export function logNormalDensity(
  x: number,
  { mean, sd }: { readonly mean: number; readonly sd: number },
): number {
  const z = (x - mean) / sd;
  return -0.5 * z * z - Math.log(sd * Math.sqrt(2 * Math.PI));
}
