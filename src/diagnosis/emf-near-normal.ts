import { type EmfPosterior, logNormalDensity } from "./emf-node.ts";
import type { EmfSeed } from "./emf-pilot.ts";
import { type GaussRule, gaussHermite } from "./gauss-rule.ts";
import { polynomial, polynomialThrough } from "./polynomial.ts";

/** How far ln(posterior / normal) may vary over the nodes. */
const NEAR = 2;
/** How much its highest-order terms may contribute at the outermost node. */
const SETTLED = 0.03;
/** How far the normal may be off, in its standard deviations, and off its width. */
const OFF_CENTRE = 0.6;
const OFF_WIDTH = 0.1;

/** Rules by number of nodes, the next where one does not settle it. */
const RULES = [3, 5].map(gaussHermite);
/**
 * Three nodes show no skew. They do where the posterior is narrower than this part of one reading's
 * noise: then it is the product of so many likelihoods that it is a normal.
 */
const NARROW = 0.15;

/**
 * The EMF's posterior where it is nearly a normal, by a Gauss-Hermite rule laid on that normal:
 * the rule integrates (posterior / normal), which is nearly constant. Gives null where the ratio
 * is not smooth enough for the rule's nodes, after corrections of the normal, or where the nodes
 * stand further apart than one reading's noise and could step over an edge.
 */
export function nearNormalPosterior<Evidence extends { readonly logLikelihood: number }>(
  prior: { readonly mean: number; readonly sd: number },
  seed: EmfSeed,
  noise: number,
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> | null {
  let normal = { mean: seed.emf, sd: seed.sd };
  let size = seed.sd < NARROW * noise ? 0 : 1;
  for (let attempt = 0; attempt < 4; attempt++) {
    const rule = RULES[size];
    const { mean, sd } = normal;
    if (rule === undefined || widestGap(rule) * sd > noise) return null;
    const emfs = Array.from(rule.nodes, (z) => mean + sd * z);
    const nodes = evaluate(emfs).map((evidence, n) => {
      const emf = emfs[n]!;
      return { emf, evidence, logDensity: evidence.logLikelihood + logNormalDensity(emf, prior) };
    });
    const logRatio = Float64Array.from(
      nodes,
      ({ emf, logDensity }) => logDensity - logNormalDensity(emf, normal),
    );
    const taylor = polynomialThrough(rule.nodes, logRatio);
    const [slope, curve] = [taylor[1]!, taylor[2]!];
    if (Math.abs(slope) > OFF_CENTRE || Math.abs(curve) > OFF_WIDTH) {
      // ln posterior = taylor - z^2 / 2: its first two terms give the normal to try next.
      const bend = 1 - 2 * curve;
      if (!(bend > 0.05)) return null;
      const shift = Math.max(-4, Math.min(4, slope / bend));
      normal = { mean: mean + sd * shift, sd: sd / Math.sqrt(bend) };
      if (normal.sd > NARROW * noise) size = Math.max(1, size);
    } else if (isSettled(rule, logRatio, taylor)) {
      return posteriorOf(rule, normal, nodes, logRatio, taylor);
    } else size += 1;
  }
  return null;
}

/** Largest gap between two nodes that carry weight, in standard deviations. */
function widestGap({ nodes }: GaussRule): number {
  const middle = Math.floor(nodes.length / 2);
  return nodes[middle]! - nodes[middle - 1]!;
}

function isSettled(rule: GaussRule, logRatio: Float64Array, taylor: Float64Array): boolean {
  if (Math.max(...logRatio) - Math.min(...logRatio) > NEAR) return false;
  const degree = taylor.length - 1;
  if (degree === 2) return true;
  const outermost = rule.nodes.at(-1)!;
  const top = [degree, degree - 1].map((n) => Math.abs(taylor[n]!) * outermost ** n);
  return Math.max(...top) < SETTLED;
}

function posteriorOf<Evidence>(
  rule: GaussRule,
  normal: { readonly mean: number; readonly sd: number },
  nodes: readonly { readonly emf: number; readonly evidence: Evidence }[],
  logRatio: Float64Array,
  taylor: Float64Array,
): EmfPosterior<Evidence> {
  const most = Math.max(...logRatio);
  const masses = logRatio.map((value, i) => rule.weights[i]! * Math.exp(value - most));
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  return {
    nodes: nodes.map(({ emf, evidence }, i) => ({ emf, evidence, weight: masses[i]! / total })),
    logEvidence: most + Math.log(total),
    estimate: estimateOf(normal, taylor),
  };
}

const REACH = 5;
const STEPS = 1000;

function estimateOf(normal: { readonly mean: number; readonly sd: number }, taylor: Float64Array) {
  // The first terms of the expansion hold beyond the nodes; the highest ones do not.
  const first = taylor.subarray(0, 3);
  const logDensity = (z: number): number => polynomial(first, z) - 0.5 * z * z;
  const most = logDensity(0);
  const cumulative: number[] = [];
  let sum = 0;
  for (let i = 0; i < STEPS; i++) {
    sum += Math.exp(logDensity(-REACH + (2 * REACH * (i + 0.5)) / STEPS) - most);
    cumulative.push(sum);
  }
  const quantile = (p: number): number => {
    const i = cumulative.findIndex((value) => value >= p * sum);
    const before = i > 0 ? cumulative[i - 1]! : 0;
    const part = (p * sum - before) / (cumulative[i]! - before);
    return normal.mean + normal.sd * (-REACH + (2 * REACH * (i + part)) / STEPS);
  };
  return { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) };
}
