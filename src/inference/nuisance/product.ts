import { gaussHermite } from "../../numerics/gauss-rule.ts";
import type { Kind } from "./coordinates.ts";
import { logDensity, type NormalFit } from "./normal-fit.ts";
import { COARSE_BOUNDS, conditional, outerIntegral, placedBy, productRule } from "./outer.ts";
import type { Evaluated, Integral, WeightedNode } from "./star.ts";

type Evaluate<Found> = (points: readonly Float64Array[]) => readonly Evaluated<Found>[];

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
 * @param outline Nearly the posterior, for less work: what all of it has more is taken from the others'
 *   middle at each value of the first.
 */
export function productIntegral<Found>(
  fits: readonly NormalFit[],
  kinds: readonly Kind[],
  noise: number,
  coarse: boolean,
  evaluate: Evaluate<Found>,
  outline: Evaluate<Found>,
): Integral<Found> {
  const centre = new Array<number>(fits[0]!.mean.length - 1).fill(0);
  const at = placedBy(fits);
  const outer = outerIntegral(
    fits,
    [(sd) => (coarse ? 6 : Math.ceil(7 + (8 * sd) / noise))],
    coarse ? COARSE_BOUNDS : undefined,
    (points) => outline(points).map(({ logPosterior }) => logPosterior),
  );
  const [rule] = outer.rules;
  const inner = productRule(
    kinds.slice(1).map((kind) => gaussHermite((coarse ? COARSE : INNER)[kind])),
  );
  const lines = Array.from(rule!.nodes).map((first, i): Line<Found> => {
    const middle = at(first, centre).point;
    const [light] = outline([middle]) as [Evaluated<Found>];
    const [whole] = outline === evaluate ? [light] : (evaluate([middle]) as [Evaluated<Found>]);
    const points = inner.map(({ z }) => at(first, z).point);
    const nodes = outline(points).map(({ logPosterior, found }, k) => {
      const { fit, z } = at(first, inner[k]!.z);
      // The conditional normal of the others, its scale included.
      const normal = logDensity(fit, z) - logDensity(fit, [z[0]!, ...centre]) + conditional(fit);
      const ratio = logPosterior - light.logPosterior - normal;
      const more = whole.logPosterior - light.logPosterior;
      const log = Math.log(rule!.weights[i]! * inner[k]!.weight) + ratio + more;
      const isPossible = light.logPosterior > IMPOSSIBLE;
      return { point: points[k]!, found, log: isPossible ? log : Number.NEGATIVE_INFINITY };
    });
    return { middle, whole: whole.found, light: light.found, nodes };
  });
  const logs = lines.flatMap(({ nodes }) => nodes.map(({ log }) => log));
  const most = Math.max(...logs);
  const total = logs.reduce((sum, log) => sum + Math.exp(log - most), 0);
  const isKept = ({ log }: { readonly log: number }): boolean =>
    Math.exp(log - most) > LEFT_OUT * total;
  const kept = lines.map((line) => ({ ...line, nodes: line.nodes.filter(isKept) }));
  const sum = kept
    .flatMap(({ nodes }) => nodes)
    .reduce((part, { log }) => part + Math.exp(log - most), 0);
  const massOf = ({ log }: { readonly log: number }): number => Math.exp(log - most) / sum;
  return {
    logMass: outer.logMass + most + Math.log(total),
    first: outer.quantiles,
    nodes: kept.flatMap(({ middle, whole, light, nodes }): WeightedNode<Found>[] => {
      const own = nodes.map((node) => ({
        point: node.point,
        found: node.found,
        mass: massOf(node),
      }));
      if (outline === evaluate)
        return own.map(({ mass, ...node }) => ({ ...node, weight: mass, alone: mass }));
      const mass = own.reduce((part, node) => part + node.mass, 0);
      return [
        { point: middle, found: whole, weight: mass, alone: mass },
        { point: middle, found: light, weight: -mass, alone: 0 },
        ...own.map(({ mass: weight, ...node }) => ({ ...node, weight, alone: 0 })),
      ];
    }),
  };
}

/** The nodes at one value of the first number, and the middle of them with all and with less. */
interface Line<Found> {
  readonly middle: Float64Array;
  readonly whole: Found;
  readonly light: Found;
  readonly nodes: readonly {
    readonly point: Float64Array;
    readonly found: Found;
    readonly log: number;
  }[];
}
