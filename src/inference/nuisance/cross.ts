import { type GaussRule, gaussHermite } from "../../numerics/gauss-rule.ts";
import type { Kind } from "./coordinates.ts";
import type { NormalFit } from "./normal-fit.ts";
import { COARSE_BOUNDS, conditional, outerIntegral, placedBy, productRule } from "./outer.ts";
import type { Bounds } from "./panels.ts";
import type { Evaluated, Integral, WeightedNode } from "./star.ts";

/** How many nodes: of the first axis by itself, and of the plane across it. */
interface Fineness {
  readonly along: (sd: number, noise: number) => number;
  readonly planes: number;
  readonly across: Readonly<Record<Kind, GaussRule>>;
  readonly bounds: Bounds | undefined;
}

const FINE: Fineness = {
  along: (sd, noise) => Math.ceil(7 + (4 * sd) / noise),
  planes: 6,
  across: { shown: gaussHermite(7), drift: gaussHermite(3), scale: gaussHermite(5) },
  bounds: undefined,
};
/** Where many branches of unknown resistances are added up, each needs less. */
const COARSE: Fineness = {
  along: () => 6,
  planes: 3,
  across: { shown: gaussHermite(4), drift: gaussHermite(2), scale: gaussHermite(3) },
  bounds: COARSE_BOUNDS,
};

type Evaluate<Found> = (points: readonly Float64Array[]) => readonly Evaluated<Found>[];

/**
 * Integrates over a supply's number y, which may have any posterior, and others that are nearly normal
 * (the noise's scale, the drift), by a sparse grid (Smolyak 1963, from memory):
 *
 *     many nodes of y, the others at their middle
 *     + few nodes of y times (the others' product rule - their middle)
 *
 * The nodes of y are those of its own density along the middle. What lies across is taken from the
 * outline, times what the whole posterior is of it along the middle.
 *
 * @param outline Nearly the posterior, for less work.
 */
export function crossIntegral<Found>(
  fit: NormalFit,
  kinds: readonly Kind[],
  noise: number,
  coarse: boolean,
  evaluate: Evaluate<Found>,
  outline: Evaluate<Found>,
): Integral<Found> | null {
  const fineness = coarse ? COARSE : FINE;
  const place = placedBy([fit]);
  const sketch = (points: readonly Float64Array[]): readonly number[] =>
    outline(points).map(({ logPosterior }) => logPosterior);
  const outer = outerIntegral(
    [fit],
    [(sd) => fineness.along(sd, noise), () => fineness.planes],
    fineness.bounds,
    sketch,
  );
  const middle = new Array<number>(kinds.length - 1).fill(0);
  const [line, planes] = outer.rules.map(({ nodes, weights }) =>
    Array.from(nodes, (first, i) => {
      const { point } = place(first, middle);
      const [{ logPosterior, found }] = outline([point]) as [Evaluated<Found>];
      return { first, point, found, weight: weights[i]!, outlined: logPosterior };
    }),
  );
  const onLine = line!.map((one) => {
    if (outline === evaluate) return { ...one, mass: one.weight };
    const [{ logPosterior, found }] = evaluate([one.point]) as [Evaluated<Found>];
    return { ...one, found, mass: one.weight * Math.exp(logPosterior - one.outlined) };
  });
  const across = productRule(kinds.slice(1).map((kind) => fineness.across[kind]));
  const inPlanes = planes!.flatMap(({ first, weight, outlined, point, found }) => [
    { point, found, mass: -weight },
    ...across.map(({ z, weight: own }) => {
      const there = place(first, z).point;
      const [{ logPosterior, found: other }] = outline([there]) as [Evaluated<Found>];
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
    logMass: outer.logMass + Math.log(alone * more) - conditional(fit),
    first: outer.quantiles,
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

/** A node of less than this part of the whole is left out. */
const LEFT_OUT = 2e-4;

const sumOf = (masses: readonly { readonly mass: number }[]): number =>
  masses.reduce((sum, { mass }) => sum + mass, 0);
