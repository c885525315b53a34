import { gaussHermite } from "../../numerics/gauss-rule.ts";
import type { Kind } from "./coordinates.ts";
import { logDensity, type NormalFit } from "./normal-fit.ts";
import { COARSE_BOUNDS, conditional, outerIntegral, placedBy, productRule } from "./outer.ts";
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
  const centre = new Array<number>(fits[0]!.mean.length - 1).fill(0);
  const at = placedBy(fits);
  const outer = outerIntegral(
    fits,
    [(sd) => (coarse ? 6 : Math.ceil(7 + (8 * sd) / noise))],
    coarse ? COARSE_BOUNDS : undefined,
    (points) => evaluate(points).map(({ logPosterior }) => logPosterior),
  );
  const [rule] = outer.rules;
  const inner = productRule(
    kinds.slice(1).map((kind) => gaussHermite((coarse ? COARSE : INNER)[kind])),
  );
  const nodes = Array.from(rule!.nodes).flatMap((first, i) => {
    const points = inner.map(({ z }) => at(first, z).point);
    const base = evaluate([at(first, centre).point])[0]!.logPosterior;
    return evaluate(points).map(({ logPosterior, found }, k) => {
      const { fit, z } = at(first, inner[k]!.z);
      // The conditional normal of the others, its scale included.
      const normal = logDensity(fit, z) - logDensity(fit, [z[0]!, ...centre]) + conditional(fit);
      const log = Math.log(rule!.weights[i]! * inner[k]!.weight) + logPosterior - base - normal;
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
