import { nearNormalPosterior } from "./emf-near-normal.ts";
import type { EmfPosterior } from "./emf-node.ts";
import { panelPosterior } from "./emf-panels.ts";
import type { EmfRange } from "./emf-pilot.ts";

/**
 * Integrates over the EMF. Where the posterior is close to a normal, as it is for any walk of more
 * than a few circuits, a short Gauss-Hermite rule is exact enough; else adaptive panels are.
 * `noise` is the smallest noise of the walk's meters [V]; `logLikelihoods` tells of `evaluate` its
 * log likelihoods alone.
 */
export function integrateEmf<Evidence extends { readonly logLikelihood: number }>(
  prior: { readonly mean: number; readonly sd: number },
  range: EmfRange,
  noise: number,
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
  logLikelihoods: (emfs: readonly number[]) => readonly number[],
): EmfPosterior<Evidence> {
  if (prior.sd === 0) return certainEmf(prior.mean, evaluate);
  const [seed, ...others] = range.seeds;
  const near = others.length === 0 ? nearNormalPosterior(prior, seed!, noise, evaluate) : null;
  return near ?? panelPosterior(prior, range, noise, logLikelihoods, evaluate);
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
