import { gaussLegendre, legendre } from "../../numerics/gauss-legendre.ts";
import { condensedRule, type GaussRule } from "../../numerics/gauss-rule.ts";
import { polynomial, polynomialThrough } from "../../numerics/polynomial.ts";

/**
 * The integral of a density of one number, whatever its shape, by panels that are halved until in
 * each the density or its logarithm is a polynomial; a few Gauss nodes of it then stand for all of it.
 */
export interface PanelIntegral {
  readonly logMass: number;
  /** Places all over it, ascending, so close that a sum over them is an integral. */
  readonly masses: readonly Mass[];
  /** Nodes and weights (they sum to 1) of Gauss rules of the density itself, as many as were asked. */
  readonly rules: readonly GaussRule[];
  readonly mean: number;
  readonly sd: number;
  /** Median, 5 % and 95 % quantile. */
  readonly quantiles: { readonly median: number; readonly low: number; readonly high: number };
}

/** A place, its part of the whole, and ln of the density there. */
export interface Mass {
  readonly at: number;
  readonly mass: number;
  readonly logDensity: number;
}

const RULE = gaussLegendre(8);
/** By which what stands for a panel is integrated, however steep. */
const CLOSE = gaussLegendre(20);
/** A panel is settled when the highest terms of its polynomial are less than this part of the whole. */
const SETTLED = 1e-3;
/** ln of a density that falls by more than this within a panel is no polynomial. */
const STEEP = 60;
/** Nor is one whose highest terms are as large as this. */
const BENT = 0.5;
/** A panel of less mass than this part of the whole need not be looked into. */
const NEGLIGIBLE = 1e-7;
const DEEPEST = 12;
/** The ends are far enough out where the density is this far under its largest, in ln. */
const FAR = 11;
const MOST_PANELS = 80;
/** So often at most. */
const MOST_PROLONGED = 16;

/** How well a density is known: what settles a panel, and how far down its ends are. */
export interface Bounds {
  readonly settled: number;
  readonly far: number;
  /** So many panels at most: with more, what is left open counts as settled. */
  readonly most: number;
}

interface Stretch {
  readonly low: number;
  readonly high: number;
  readonly depth: number;
}

interface Panel extends Stretch {
  readonly logDensity: readonly number[];
}

/** A panel's density over the largest of all, as what it is nearer to: a polynomial or the exponential
 * of one. */
interface Shape {
  /** At -1 to 1 along the panel. */
  readonly density: (x: number) => number;
  /** Nodes that tell all of it, and the density there. */
  readonly rule: Pick<GaussRule, "nodes" | "weights">;
  readonly values: Float64Array;
  readonly mass: number;
  /** By how much the highest terms move the mass. */
  readonly open: number;
}

/**
 * @param borders Where panels end at first, ascending; the axis is prolonged where the density goes on.
 * @param logDensities ln of the density at several places.
 * @param nodesFor How many nodes each rule takes, by the density's standard deviation.
 */
export function panelIntegral(
  borders: readonly number[],
  logDensities: (at: readonly number[]) => readonly number[],
  nodesFor: readonly ((sd: number) => number)[],
  bounds: Bounds = { settled: SETTLED, far: FAR, most: MOST_PANELS },
): PanelIntegral {
  const panels = settledPanels(borders, logDensities, bounds);
  const most = largest(panels);
  const shapes = panels.map((panel) => shapeOf(panel, most));
  const places = panels.flatMap((panel, p) => {
    const { rule, values } = shapes[p]!;
    const half = (panel.high - panel.low) / 2;
    return Array.from(rule.nodes, (x, k) => ({
      at: placeOf(panel, x),
      density: values[k]!,
      weight: half * rule.weights[k]! * values[k]!,
    }));
  });
  const points = Float64Array.from(places, ({ at }) => at);
  const weights = Float64Array.from(places, ({ weight }) => weight);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = points.reduce((sum, at, i) => sum + (at * weights[i]!) / total, 0);
  const variance = points.reduce((sum, at, i) => sum + ((at - mean) ** 2 * weights[i]!) / total, 0);
  const sd = Math.sqrt(variance);
  const counts = weights.reduce((count, weight) => count + (weight > 1e-9 * total ? 1 : 0), 0);
  const shifted = points.map((at) => at - mean);
  const rules = nodesFor.map((of) =>
    ruleAround(mean, shifted, weights, Math.max(1, Math.min(counts, of(sd)))),
  );
  const quantile = (p: number): number => whereReached(panels, shapes, p * total);
  return {
    logMass: most + Math.log(total),
    masses: places.map(({ at, density, weight }) => ({
      at,
      mass: weight / total,
      logDensity: most + Math.log(density),
    })),
    rules,
    mean,
    sd,
    quantiles: { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) },
  };
}

const placeOf = ({ low, high }: Stretch, x: number): number => (low + high + (high - low) * x) / 2;

function settledPanels(
  borders: readonly number[],
  logDensities: (at: readonly number[]) => readonly number[],
  { settled: enough, far, most: mostPanels }: Bounds,
): readonly Panel[] {
  const lay = (stretches: readonly Stretch[]): readonly Panel[] => {
    const at = stretches.map((stretch) => Array.from(RULE.nodes, (x) => placeOf(stretch, x)));
    const found = logDensities(at.flat());
    const per = RULE.nodes.length;
    return stretches.map((stretch, i) => ({
      logDensity: found.slice(i * per, (i + 1) * per),
      ...stretch,
    }));
  };
  const step = borders.at(-1)! - borders[0]!;
  const settled: Panel[] = [];
  let prolonged = 0;
  let open = lay(borders.slice(1).map((high, i) => ({ low: borders[i]!, high, depth: 0 })));
  while (open.length > 0) {
    const all = [...settled, ...open].sort((a, b) => a.low - b.low);
    const most = largest(all);
    const shapes = new Map(all.map((panel) => [panel, shapeOf(panel, most)]));
    const total = all.reduce((sum, panel) => sum + shapes.get(panel)!.mass, 0);
    const next: Stretch[] = [];
    if (all.length > mostPanels) {
      settled.push(...open);
      break;
    }
    for (const panel of open) {
      const { low, high, depth } = panel;
      const { mass, open: loose } = shapes.get(panel)!;
      if (depth === DEEPEST || mass < NEGLIGIBLE * total || loose < enough * total) {
        settled.push(panel);
      } else {
        const middle = (low + high) / 2;
        next.push({ low, high: middle, depth: depth + 1 }, { low: middle, high, depth: depth + 1 });
      }
    }
    const [first, last] = [all[0]!, all.at(-1)!];
    if (prolonged++ > MOST_PROLONGED) {
      open = lay(next);
      continue;
    }
    if (first.logDensity[0]! > most - far) {
      next.push({ low: first.low - step / 2, high: first.low, depth: 0 });
    }
    if (last.logDensity.at(-1)! > most - far) {
      next.push({ low: last.high, high: last.high + step / 2, depth: 0 });
    }
    open = lay(next);
  }
  return settled.sort((a, b) => a.low - b.low);
}

const largest = (panels: readonly Panel[]): number =>
  Math.max(...panels.flatMap(({ logDensity }) => logDensity));

/** What a panel's density is nearer to. */
function shapeOf(panel: Panel, most: number): Shape {
  const logs = panel.logDensity.map((value) => value - most);
  const [plain, curved] = [asPolynomial(panel, logs), asExponential(panel, logs)];
  return curved !== null && curved.open < plain.open ? curved : plain;
}

function asPolynomial({ low, high }: Stretch, logs: readonly number[]): Shape {
  const values = Float64Array.from(logs, Math.exp);
  const half = (high - low) / 2;
  const coefficients = polynomialThrough(RULE.nodes, values);
  return {
    density: (x) => Math.max(0, polynomial(coefficients, x)),
    rule: RULE,
    values,
    mass: half * values.reduce((sum, value, k) => sum + RULE.weights[k]! * value, 0),
    open: 2 * half * highestTerms(values),
  };
}

function asExponential({ low, high }: Stretch, logs: readonly number[]): Shape | null {
  const values = Float64Array.from(logs);
  const [least, most] = [Math.min(...logs), Math.max(...logs)];
  const bent = highestTerms(values);
  if (!(most - least < STEEP && bent < BENT)) return null;
  const coefficients = polynomialThrough(RULE.nodes, values);
  const density = (x: number): number => Math.exp(polynomial(coefficients, x));
  const half = (high - low) / 2;
  const close = CLOSE.nodes.map(density);
  const mass = half * close.reduce((sum, value, k) => sum + CLOSE.weights[k]! * value, 0);
  return { density, rule: CLOSE, values: close, mass, open: mass * bent };
}

/** By node of a panel's rule: what turns a function's values into its last two Legendre coefficients. */
const LAST_TERMS = [1, 2].map((back) => {
  const degree = RULE.nodes.length - back;
  return RULE.nodes.map((x, k) => RULE.weights[k]! * legendre(degree, x).value * (degree + 0.5));
});

/** The larger of the last two Legendre coefficients of a function, by its values at the nodes. */
const highestTerms = (values: Float64Array): number =>
  Math.max(
    ...LAST_TERMS.map((term) =>
      Math.abs(values.reduce((sum, value, k) => sum + value * term[k]!, 0)),
    ),
  );

/** A Gauss rule of so many nodes, or of fewer where the density is too narrow for them. */
export function finiteRule(points: Float64Array, weights: Float64Array, count: number): GaussRule {
  for (let n = count; n > 1; n--) {
    const rule = condensedRule(points, weights, n);
    if (rule.nodes.every(Number.isFinite) && rule.weights.every((w) => w > 0)) return rule;
  }
  return condensedRule(points, weights, 1);
}

/** A rule for points so far from their mean; its weights sum to 1. */
export function ruleAround(
  mean: number,
  points: Float64Array,
  weights: Float64Array,
  count: number,
): GaussRule {
  const rule = finiteRule(points, weights, count);
  const sum = rule.weights.reduce((part, share) => part + share, 0);
  return {
    nodes: rule.nodes.map((x) => x + mean),
    weights: rule.weights.map((share) => share / sum),
  };
}

/** Where the density reaches this mass. */
function whereReached(panels: readonly Stretch[], shapes: readonly Shape[], mass: number): number {
  let below = 0;
  for (const [p, { low, high }] of panels.entries()) {
    const { density } = shapes[p]!;
    /** From the panel's beginning up to x. */
    const upTo = (x: number): number =>
      (((1 + x) / 2) *
        CLOSE.nodes.reduce(
          (sum, y, k) => sum + CLOSE.weights[k]! * density(((1 + x) * (1 + y)) / 2 - 1),
          0,
        ) *
        (high - low)) /
      2;
    const own = upTo(1);
    if (below + own >= mass) {
      let [left, right] = [-1, 1];
      for (let turn = 0; turn < 40; turn++) {
        const middle = (left + right) / 2;
        if (below + upTo(middle) < mass) left = middle;
        else right = middle;
      }
      return placeOf({ low, high, depth: 0 }, left);
    }
    below += own;
  }
  return panels.at(-1)!.high;
}
