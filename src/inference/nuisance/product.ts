import { type GaussRule, gaussHermite } from "../../numerics/gauss-rule.ts";
import type { Kind } from "./coordinates.ts";
import { along, logDensity, type NormalFit } from "./normal-fit.ts";
import { panelIntegral } from "./panels.ts";
import type { Evaluated, Integral, WeightedNode } from "./star.ts";

/** Nodes on the axes behind the first, by what they are. */
const INNER: Readonly<Record<Kind, number>> = { shown: 7, drift: 3, scale: 5 };
/** Where many branches of unknown resistances are added up, each needs less. */
const COARSE: Readonly<Record<Kind, number>> = { shown: 4, drift: 2, scale: 3 };
/** ln of what no walk has. */
const IMPOSSIBLE = -1e6;
/** A node of less than this part of the whole is left out. */
const LEFT_OUT = 2e-5;

/**
 * Integrates over a few numbers of which the first (an EMF) may have any posterior: panels along
 * the first, with the others where the nearest of `fits` puts them; then at the Gauss nodes of what
 * was found there a product of Gauss-Hermite rules over the others. For walks of few circuits.
 *
 * @param kinds What each number is.
 * @param noise The smallest noise of a reading [V]: how fast anything varies with the first number.
 */
export function productIntegral<Found>(
  fits: readonly NormalFit[],
  kinds: readonly Kind[],
  noise: number,
  coarse: boolean,
  evaluate: (points: readonly Float64Array[]) => readonly Evaluated<Found>[],
): Integral<Found> {
  const n = fits[0]!.mean.length;
  const zAt = (at: number, others: readonly number[]): { fit: NormalFit; z: number[] } => {
    const fit = nearest(fits, at);
    return { fit, z: [(at - fit.mean[0]!) / fit.root[0]![0]!, ...others] };
  };
  const centre = new Array<number>(n - 1).fill(0);
  const pointAt = (at: number, others: readonly number[]): Float64Array => {
    const { fit, z } = zAt(at, others);
    return along(fit, z);
  };
  const outer = panelIntegral(
    bordersOf(fits),
    (ats) => evaluate(ats.map((at) => pointAt(at, centre))).map(({ logPosterior }) => logPosterior),
    (sd) => (coarse ? 6 : Math.ceil(7 + (8 * sd) / noise)),
    coarse ? { settled: 0.02, far: 7, most: 12 } : undefined,
  );
  const inner = productRule(
    kinds.slice(1).map((kind) => gaussHermite((coarse ? COARSE : INNER)[kind])),
  );
  const nodes = Array.from(outer.rule.nodes).flatMap((at, i) => {
    const points = inner.map(({ z }) => pointAt(at, z));
    const base = evaluate([pointAt(at, centre)])[0]!.logPosterior;
    return evaluate(points).map(({ logPosterior, found }, k) => {
      const { fit, z } = zAt(at, inner[k]!.z);
      // The conditional normal of the others, its scale included.
      const normal = logDensity(fit, z) - logDensity(fit, [z[0]!, ...centre]) + conditional(fit);
      const log =
        Math.log(outer.rule.weights[i]! * inner[k]!.weight) + logPosterior - base - normal;
      return { point: points[k]!, found, log: base > IMPOSSIBLE ? log : Number.NEGATIVE_INFINITY };
    });
  });
  const most = Math.max(...nodes.map(({ log }) => log));
  const total = nodes.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  const kept = nodes.filter(({ log }) => Math.exp(log - most) > LEFT_OUT * total);
  const sum = kept.reduce((part, { log }) => part + Math.exp(log - most), 0);
  return {
    logMass: outer.logMass + most + Math.log(total),
    first: outer.quantiles,
    nodes: kept.map(
      ({ point, found, log }): WeightedNode<Found> => ({
        point,
        found,
        weight: Math.exp(log - most) / sum,
        alone: Math.exp(log - most) / sum,
      }),
    ),
  };
}

const nearest = (fits: readonly NormalFit[], at: number): NormalFit =>
  fits.reduce((best, fit) =>
    Math.abs(fit.mean[0]! - at) / fit.root[0]![0]! <
    Math.abs(best.mean[0]! - at) / best.root[0]![0]!
      ? fit
      : best,
  );

/** ln of the conditional normal's density at its centre. */
const conditional = ({ root }: NormalFit): number =>
  root
    .slice(1)
    .reduce((sum, column, i) => sum - Math.log(column[i + 1]!) - 0.5 * Math.log(2 * Math.PI), 0);

/** Where panels end at first: around each fit, so close that a normal there needs no halving. */
function bordersOf(fits: readonly NormalFit[]): readonly number[] {
  const marks = fits.flatMap(({ mean, root }) =>
    [-5, -2.5, -1.25, 0, 1.25, 2.5, 5].map((z) => mean[0]! + z * root[0]![0]!),
  );
  const least = Math.min(...fits.map(({ root }) => root[0]![0]!));
  const sorted = marks.sort((a, b) => a - b);
  return sorted.filter((mark, i) => i === 0 || mark - sorted[i - 1]! > 0.5 * least);
}

function productRule(
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
