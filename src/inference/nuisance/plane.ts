import { type GaussRule, gaussHermite } from "../../numerics/gauss-rule.ts";
import type { Kind } from "./coordinates.ts";
import { along, type NormalFit, sdOf } from "./normal-fit.ts";
import { bordersAlong, COARSE_BOUNDS, conditional, productRule } from "./outer.ts";
import { type Bounds, type PanelIntegral, panelIntegral } from "./panels.ts";
import type { Evaluated, Integral, WeightedNode } from "./star.ts";

/** How many nodes: of each supply's axis, and across them. */
interface Fineness {
  readonly along: (sd: number, noise: number) => number;
  readonly across: Readonly<Record<Kind, GaussRule>>;
  readonly bounds: Bounds | undefined;
}

const FINE: Fineness = {
  along: (sd, noise) => Math.ceil(7 + (4 * sd) / noise),
  across: { shown: gaussHermite(5), drift: gaussHermite(3), scale: gaussHermite(4) },
  bounds: undefined,
};
/** Where many bundles of branches are added up, or walks have many circuits. */
const COARSE: Fineness = {
  along: () => 5,
  across: { shown: gaussHermite(4), drift: gaussHermite(2), scale: gaussHermite(3) },
  bounds: COARSE_BOUNDS,
};

/** Across a place of less than this part of the whole, what lies there is as it is on average near the
 * same fit. */
const CROSSED = 0.01;
/** A node of less than this part of the whole is left out. */
const LEFT_OUT = 1e-4;

type Evaluate<Found> = (points: readonly Float64Array[]) => readonly Evaluated<Found>[];

/**
 * Integrates over the numbers of two supplies, each of which may have any posterior, and others that
 * are nearly normal: panels along each while the other is where it is likeliest, the product of the
 * Gauss rules of what was found, and across it, where much of the posterior is, a product rule.
 * Supplies have next to nothing in common but the noise and the drift: f hardly mixes them.
 *
 *     integral = sum_ij w_i v_j [f(x_i, y_j) / f(x*, y_j)] / f(x_i, y where the nearest fit puts it)
 *
 * @param fits Normals at the modes.
 * @param noise The smallest noise of a reading [V].
 */
export function planeIntegral<Found>(
  fits: readonly NormalFit[],
  kinds: readonly Kind[],
  noise: number,
  coarse: boolean,
  evaluate: Evaluate<Found>,
): Integral<Found> {
  const { along: count, across, bounds } = coarse ? COARSE : FINE;
  const place = placedByTwo(fits);
  const rest = kinds.slice(2);
  const middle = rest.map(() => 0);
  const onPlane = (first: number, second: number | null) => place(first, second, middle, false);
  const logAt = (points: readonly Float64Array[]): readonly number[] =>
    evaluate(points).map(({ logPosterior }) => logPosterior);
  const line = (axis: number, pointAt: (value: number) => Float64Array): PanelIntegral =>
    panelIntegral(
      bordersAlong(fits, axis),
      (values) => logAt(values.map(pointAt)),
      [(sd) => count(sd, noise)],
      bounds,
    );
  const outer = line(0, (first) => onPlane(first, null).point);
  const [firsts] = outer.rules as [GaussRule];
  const likeliest = firsts.weights.indexOf(Math.max(...firsts.weights));
  const inner = line(1, (second) => onPlane(firsts.nodes[likeliest]!, second).point);
  const [seconds] = inner.rules as [GaussRule];
  const rows = Array.from(firsts.nodes, (first) => {
    const places = Array.from(seconds.nodes, (second) => {
      return { first, second, ...onPlane(first, second) };
    });
    const found = evaluate(places.map(({ point }) => point));
    return places.map((one, j) => ({ ...one, ...found[j]! }));
  });
  const plane = rows.flatMap((row, i) => {
    const [base] = logAt([onPlane(firsts.nodes[i]!, null).point]) as [number];
    return row.map((one, j) => {
      const ratio = one.logPosterior - rows[likeliest]![j]!.logPosterior + inner.logMass - base;
      const weight = firsts.weights[i]! * seconds.weights[j]!;
      const log = Math.log(weight) + ratio - conditional(one.fit, 2);
      // Far from every reading both may come to nothing at all.
      return { log: Number.isNaN(log) ? Number.NEGATIVE_INFINITY : log, ...one };
    });
  });
  const most = Math.max(...plane.map(({ log }) => log));
  const whole = plane.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  const placed = plane
    .map((one) => ({ part: Math.exp(one.log - most) / whole, ...one }))
    .filter(({ part }) => part > LEFT_OUT);
  const crossing = productRule(rest.map((kind) => across[kind]));
  const nodes = acrossPlane(
    placed,
    crossing,
    evaluate,
    ({ first, second }, z) => place(first, second, z, true).point,
  );
  const total = nodes.reduce((sum, { mass }) => sum + mass, 0);
  const kept = nodes.filter(({ mass }) => mass > LEFT_OUT * total);
  const sum = kept.reduce((part, { mass }) => part + mass, 0);
  return {
    logMass: outer.logMass + most + Math.log(whole * total),
    nodes: kept.map(
      ({ point, found, mass }): WeightedNode<Found> => ({
        ...{ point, found, weight: mass / sum, alone: mass / sum },
      }),
    ),
  };
}

/** A place of both supplies' numbers, the others in their middle, with its part of the whole. */
interface OnPlane<Found> extends Evaluated<Found> {
  readonly first: number;
  readonly second: number;
  readonly fit: NormalFit;
  readonly point: Float64Array;
  readonly part: number;
}

/** The nodes across every place that counts; elsewhere the place alone, for what is across it. */
function acrossPlane<Found>(
  placed: readonly OnPlane<Found>[],
  crossing: ReturnType<typeof productRule>,
  evaluate: Evaluate<Found>,
  pointAt: (one: OnPlane<Found>, z: readonly number[]) => Float64Array,
): readonly { readonly point: Float64Array; readonly found: Found; readonly mass: number }[] {
  const largest = new Map<NormalFit, number>();
  for (const { fit, part } of placed) largest.set(fit, Math.max(part, largest.get(fit) ?? 0));
  const known = new Map<NormalFit, { part: number; mass: number }>();
  const crossed = placed.map((one) => {
    const { fit, part, logPosterior } = one;
    if (part < Math.min(CROSSED, largest.get(fit)! / 2)) return null;
    const points = crossing.map(({ z }) => pointAt(one, z));
    const nodes = evaluate(points).map(({ logPosterior: log, found }, k) => {
      const { z, weight } = crossing[k]!;
      const squares = z.reduce((sum, x) => sum + x * x, 0);
      const mass = part * weight * Math.exp(log - logPosterior + squares / 2);
      return { point: points[k]!, found, mass };
    });
    const sofar = known.get(fit) ?? { part: 0, mass: 0 };
    const mass = nodes.reduce((sum, node) => sum + node.mass, sofar.mass);
    known.set(fit, { part: sofar.part + part, mass });
    return nodes;
  });
  return placed.flatMap(({ point, found, part, fit }, i) => {
    const own = known.get(fit)!;
    return crossed[i] ?? [{ point, found, mass: (part * own.mass) / own.part }];
  });
}

/**
 * Where the first number, and the second where it is given, are at their values, and the others so far
 * from where the nearest fit puts them: with `follow` for both values, else for the first alone, so that
 * along the second circuits of the first supply stay as they are.
 */
const placedByTwo =
  (fits: readonly NormalFit[]) =>
  (
    first: number,
    second: number | null,
    others: readonly number[],
    follow: boolean,
  ): { readonly fit: NormalFit; readonly point: Float64Array } => {
    const off = (fit: NormalFit): number =>
      ((first - fit.mean[0]!) / sdOf(fit, 0)) ** 2 +
      (second === null ? 0 : ((second - fit.mean[1]!) / sdOf(fit, 1)) ** 2);
    const fit = fits.reduce((best, one) => (off(one) < off(best) ? one : best));
    const { mean, root } = fit;
    const z = (first - mean[0]!) / root[0]![0]!;
    const shift = second === null ? 0 : second - mean[1]! - root[0]![1]! * z;
    const point = along(fit, [z, follow ? shift / root[1]![1]! : 0, ...others]);
    if (second !== null) point[1] = second;
    return { fit, point };
  };
