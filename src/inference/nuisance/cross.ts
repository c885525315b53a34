import { type GaussRule, gaussHermite } from "../../numerics/gauss-rule.ts";
import type { Kind } from "./coordinates.ts";
import type { NormalFit } from "./normal-fit.ts";
import { COARSE_BOUNDS, conditional, outerIntegral, placedBy, productRule } from "./outer.ts";
import { type Bounds, type Mass, ruleAround } from "./panels.ts";
import type { Evaluated, Integral, WeightedNode } from "./star.ts";

/** How many nodes: of the first axis by itself, and of the plane across it. */
interface Fineness {
  readonly along: (sd: number, noise: number) => number;
  readonly planes: number;
  readonly across: Readonly<Record<Kind, GaussRule>>;
  readonly bounds: Bounds;
}

const FINE: Fineness = {
  along: (sd, noise) => Math.ceil(7 + (4 * sd) / noise),
  planes: 6,
  across: { shown: gaussHermite(7), drift: gaussHermite(3), scale: gaussHermite(5) },
  bounds: { settled: 5e-3, far: 9, most: 24 },
};
/** Where many branches of unknown resistances are added up, each needs less. */
const COARSE: Fineness = {
  along: () => 6,
  planes: 3,
  across: { shown: gaussHermite(4), drift: gaussHermite(2), scale: gaussHermite(3) },
  bounds: COARSE_BOUNDS,
};

type Evaluate<Found> = (points: readonly Float64Array[]) => readonly Evaluated<Found>[];

/** The posterior, nearly the posterior, and what goes along with it where only the first number moves. */
interface Evaluators<Found> {
  readonly wholly: Evaluate<Found>;
  readonly lightly: Evaluate<Found>;
  readonly sparsely: Evaluate<Found>;
}

/**
 * Integrates over a supply's number y, which may have any posterior, and others that are nearly normal
 * (the noise's scale, the drift), by a sparse grid (Smolyak 1963, from memory) on each hill of y:
 *
 *     many nodes of y, the others at their middle
 *     + few nodes of y times (the others' product rule - their middle)
 *
 * The middle is where the nearest of `fits` puts the others; a hill is where that is the same one. The
 * nodes of y are those of its own density along the middle, by the sparse sums. What lies across is
 * taken from the light ones, times what the whole posterior is of the sparse along the middle.
 */
export function crossIntegral<Found>(
  fits: readonly NormalFit[],
  kinds: readonly Kind[],
  noise: number,
  coarse: boolean,
  evaluators: Evaluators<Found>,
): Integral<Found> | null {
  const fineness = coarse ? COARSE : FINE;
  const outer = outerIntegral(fits, [], fineness.bounds, (points) =>
    evaluators.sparsely(points).map(({ logPosterior }) => logPosterior),
  );
  const across = productRule(kinds.slice(1).map((kind) => fineness.across[kind]));
  const hills = hillsOf(outer.masses, fits).map((hill) => {
    const most = hill.mass > LARGE ? Number.POSITIVE_INFINITY : FEW_NODES;
    const along = Math.min(most, fineness.along(hill.sd, noise));
    const planes = Math.min(most, fineness.planes);
    return crossOn(hill, along, planes, across, evaluators);
  });
  if (hills.some((hill) => hill === null)) return null;
  const all = hills.flatMap((hill) => (hill === null ? [] : [hill]));
  const total = sumOf(all);
  return {
    logMass: outer.logMass + Math.log(total),
    first: outer.quantiles,
    nodes: all.flatMap(({ mass, nodes }) =>
      nodes.map((node) => ({
        ...node,
        weight: (node.weight * mass) / total,
        alone: (node.alone * mass) / total,
      })),
    ),
  };
}

/** A hill of more of the whole than this has all its nodes, others so many at most. */
const LARGE = 0.05;
const FEW_NODES = 3;

/** The places along the first number that are nearest to one fit. */
interface Hill {
  readonly fit: NormalFit;
  readonly points: Float64Array;
  readonly masses: Float64Array;
  readonly mass: number;
  readonly mean: number;
  readonly sd: number;
}

/** A hill of less than this part of the whole is left out. */
const NO_HILL = 1e-5;

function hillsOf(masses: readonly Mass[], fits: readonly NormalFit[]): readonly Hill[] {
  const place = placedBy(fits);
  const fitOf = masses.map(({ at }) => place(at, []).fit);
  return fits.flatMap((fit) => {
    const own = masses.filter((_, i) => fitOf[i] === fit);
    const mass = sumOf(own);
    if (!(mass > NO_HILL)) return [];
    const mean = own.reduce((sum, one) => sum + (one.at * one.mass) / mass, 0);
    const variance = own.reduce((sum, one) => sum + ((one.at - mean) ** 2 * one.mass) / mass, 0);
    return {
      points: Float64Array.from(own, ({ at }) => at - mean),
      masses: Float64Array.from(own, (one) => one.mass),
      ...{ fit, mass, mean, sd: Math.sqrt(variance) },
    };
  });
}

/** The integral over one hill: its mass beside the others' with the scale of what lies across. */
function crossOn<Found>(
  { fit, points, masses, mass: part, mean }: Hill,
  along: number,
  planes: number,
  across: ReturnType<typeof productRule>,
  { wholly, lightly, sparsely }: Evaluators<Found>,
): { readonly mass: number; readonly nodes: readonly WeightedNode<Found>[] } | null {
  const place = placedBy([fit]);
  const middle = fit.root.slice(1).map(() => 0);
  const nodesOf = (count: number, by: Evaluate<Found>) => {
    const { nodes, weights } = ruleAround(mean, points, masses, Math.min(count, points.length));
    return Array.from(nodes, (first, i) => {
      const { point } = place(first, middle);
      const [{ logPosterior, found }] = by([point]) as [Evaluated<Found>];
      return { first, point, found, weight: weights[i]!, outlined: logPosterior };
    });
  };
  const onLine = nodesOf(along, sparsely).map((one) => {
    if (sparsely === wholly) return { mass: one.weight, ...one };
    const [{ logPosterior, found }] = wholly([one.point]) as [Evaluated<Found>];
    return { mass: one.weight * Math.exp(logPosterior - one.outlined), ...one, found };
  });
  const inPlanes = nodesOf(planes, lightly).flatMap(({ first, weight, outlined, point, found }) => [
    { point, found, mass: -weight },
    ...across.map(({ z, weight: own }) => {
      const there = place(first, z).point;
      const [{ logPosterior, found: other }] = lightly([there]) as [Evaluated<Found>];
      const squares = z.reduce((sum, x) => sum + x * x, 0);
      const ratio = Math.exp(logPosterior - outlined + squares / 2);
      return { point: there, found: other, mass: weight * own * ratio };
    }),
  ]);
  const more = 1 + sumOf(inPlanes);
  const alone = sumOf(onLine);
  if (!(more > 0 && alone > 0)) return null;
  const kept = inPlanes.filter(({ mass }) => Math.abs(mass) > LEFT_OUT * more);
  const whole = 1 + sumOf(kept);
  return {
    mass: part * alone * more * Math.exp(-conditional(fit)),
    nodes: [
      ...onLine.map(
        ({ point, found, mass }): WeightedNode<Found> => ({
          ...{ point, found, weight: mass / alone / whole, alone: mass / alone },
        }),
      ),
      ...kept.map(({ point, found, mass }) => ({ point, found, weight: mass / whole, alone: 0 })),
    ],
  };
}

/** A node of less than this part of its hill is left out. */
const LEFT_OUT = 2e-4;

const sumOf = (masses: readonly { readonly mass: number }[]): number =>
  masses.reduce((sum, { mass }) => sum + mass, 0);
