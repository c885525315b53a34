import { type GaussRule, gaussHermite } from "../numerics/gauss-rule.ts";
import { polynomialThrough } from "../numerics/polynomial.ts";
import { type EmfPosterior, logNormalDensity } from "./emf-node.ts";
import type { EmfSeed } from "./emf-pilot.ts";

/** How far ln(posterior / normal) may vary over the nodes. */
const NEAR = 2;
/** How far the normal may be off, in its standard deviations, and in its variance. */
const OFF_CENTRE = 0.5;
const OFF_WIDTH = 0.25;
/** Most that one correction narrows or widens the normal. */
const WIDEST_STEP = 1.5;
/**
 * The shortest rule is enough by itself where the square and the cube of z, which it sees, have no
 * larger part in ln(posterior / normal): higher powers, which it does not see, have less still.
 */
const LITTLE_SQUARE = 0.06;
const LITTLE_CUBE = 0.02;
/** A longer one is where its highest-order terms contribute no more at the outermost node. */
const SETTLED = 0.03;
/**
 * Or where the rule before it, on the same normal, found the same ln mass, mean and variance but
 * for this: the longer one is then much closer still.
 */
const AGREED = 0.003;

/** Rules by number of nodes, the next where one does not settle it. */
const RULES = [4, 6, 8].map(gaussHermite);
/** A posterior wider than this part of one reading's noise starts with the second. */
const NARROW = 0.15;
const ATTEMPTS = 6;

/**
 * The EMF's posterior where it is nearly a normal, by a Gauss-Hermite rule laid on that normal:
 * the rule integrates (posterior / normal), which is nearly constant. Gives null where the ratio
 * is not smooth enough for the rule's nodes, after corrections of the normal, or where the nodes
 * stand further apart than one reading's noise and could step over an edge.
 */
export function nearNormalPosterior<Evidence extends { readonly logLikelihood: number }>(
  prior: Normal,
  seed: EmfSeed,
  noise: number,
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> | null {
  let normal: Normal = { mean: seed.emf, sd: seed.sd };
  let size = seed.sd < NARROW * noise ? 0 : 1;
  let shorter: Moments | null = null;
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const rule = RULES[size];
    const { mean, sd } = normal;
    if (rule === undefined || widestGap(rule) * sd > noise) return null;
    const emfs = Array.from(rule.nodes, (z) => mean + sd * z);
    const nodes = evaluate(emfs).map((evidence, n) => ({ emf: emfs[n]!, evidence }));
    const logRatio = Float64Array.from(nodes, ({ emf, evidence }) => {
      const logPosterior = evidence.logLikelihood + logNormalDensity(emf, prior);
      return logPosterior - logNormalDensity(emf, normal);
    });
    const moments = momentsOf(rule, logRatio);
    const offCentre = Math.abs(moments.mean) > OFF_CENTRE;
    if (offCentre || Math.abs(moments.variance - 1) > OFF_WIDTH) {
      const width = Math.sqrt(moments.variance);
      normal = {
        mean: mean + sd * moments.mean,
        sd: sd * Math.max(1 / WIDEST_STEP, Math.min(WIDEST_STEP, width)),
      };
      if (normal.sd > NARROW * noise) size = Math.max(1, size);
      shorter = null;
    } else if ((shorter && agree(shorter, moments)) || isSettled(rule, logRatio)) {
      return posteriorOf(normal, nodes, moments);
    } else {
      size += 1;
      shorter = moments;
    }
  }
  return null;
}

type Normal = { readonly mean: number; readonly sd: number };

/** Largest gap between two nodes that carry weight, in standard deviations. */
function widestGap({ nodes }: GaussRule): number {
  const middle = Math.floor(nodes.length / 2);
  return nodes[middle]! - nodes[middle - 1]!;
}

function isSettled(rule: GaussRule, logRatio: Float64Array): boolean {
  if (Math.max(...logRatio) - Math.min(...logRatio) > NEAR) return false;
  const taylor = polynomialThrough(rule.nodes, logRatio);
  if (rule === RULES[0])
    return Math.abs(taylor[2]!) < LITTLE_SQUARE && Math.abs(taylor[3]!) < LITTLE_CUBE;
  const degree = taylor.length - 1;
  const outermost = rule.nodes.at(-1)!;
  const top = [degree, degree - 1].map((n) => Math.abs(taylor[n]!) * outermost ** n);
  return Math.max(...top) < SETTLED;
}

/** What a rule makes of the posterior. */
interface Moments {
  readonly logMass: number;
  /** Each node's part of the mass; they sum to 1. */
  readonly weights: Float64Array;
  /** In standard deviations of the normal, from its mean. */
  readonly mean: number;
  readonly variance: number;
  readonly skewness: number;
}

function momentsOf({ nodes, weights: own }: GaussRule, logRatio: Float64Array): Moments {
  const most = Math.max(...logRatio);
  const masses = logRatio.map((value, i) => own[i]! * Math.exp(value - most));
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  const weights = masses.map((mass) => mass / total);
  const mean = weights.reduce((sum, weight, i) => sum + weight * nodes[i]!, 0);
  const about = (power: number): number =>
    weights.reduce((sum, weight, i) => sum + weight * (nodes[i]! - mean) ** power, 0);
  const variance = about(2);
  const skewness = about(3) / variance ** 1.5;
  return { logMass: most + Math.log(total), weights, mean, variance, skewness };
}

const agree = (a: Moments, b: Moments): boolean =>
  Math.abs(a.logMass - b.logMass) < AGREED &&
  Math.abs(a.mean - b.mean) < AGREED &&
  Math.abs(a.variance - b.variance) < AGREED;

function posteriorOf<Evidence>(
  normal: Normal,
  nodes: readonly { readonly emf: number; readonly evidence: Evidence }[],
  { logMass, weights, mean, variance, skewness }: Moments,
): EmfPosterior<Evidence> {
  // Cornish and Fisher's expansion as far as the skewness (Abramowitz & Stegun 26.2.49).
  const quantile = (z: number): number =>
    normal.mean + normal.sd * (mean + Math.sqrt(variance) * (z + (skewness / 6) * (z * z - 1)));
  return {
    nodes: nodes.map(({ emf, evidence }, i) => ({ emf, evidence, weight: weights[i]! })),
    logEvidence: logMass,
    estimate: { median: quantile(0), low: quantile(-EDGE), high: quantile(EDGE) },
  };
}

/** Standard deviations from the median to the 5 % and 95 % quantile of a normal. */
const EDGE = 1.6449;
