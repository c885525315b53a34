import { latticePosterior } from "./emf-lattice.ts";
import { nearNormalPosterior } from "./emf-near-normal.ts";
import type { EmfPosterior } from "./emf-node.ts";
import type { EmfSeed } from "./emf-pilot.ts";

/**
 * Integrates over the EMF. Where the posterior is close to a normal, as it is for any walk of more
 * than a few circuits, a short Gauss-Hermite rule is exact enough; else the lattice below is.
 */
export function integrateEmf<Evidence extends { readonly logLikelihood: number }>(
  prior: { readonly mean: number; readonly sd: number },
  seeds: readonly EmfSeed[],
  circuits: number,
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> {
  if (prior.sd === 0) return certainEmf(prior.mean, evaluate);
  const near =
    seeds.length === 1 ? nearNormalPosterior(prior, seeds[0]!, circuits, evaluate) : null;
  return near ?? latticePosterior(prior, seeds, evaluate);
}

function certainEmf<Evidence extends { readonly logLikelihood: number }>(
  emf: number,
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> {
  const evidence = evaluate([emf])[0]!;
  return {
    nodes: [{ emf, weight: 1, evidence }],
    logEvidence: evidence.logLikelihood,
    estimate: { median: emf, low: emf, high: emf },
  };
}
