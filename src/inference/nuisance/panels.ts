import { gaussLegendre, legendre } from "../../numerics/gauss-legendre.ts";
import { condensedRule, type GaussRule } from "../../numerics/gauss-rule.ts";
import { integralOf, polynomialThrough, whereReached } from "../../numerics/polynomial.ts";

/**
 * The integral of a density of one number, whatever its shape, by panels that are halved until the
 * density is a polynomial in each; a few Gauss nodes of that density then stand for all of it.
 */
export interface PanelIntegral {
  readonly logMass: number;
  /** All places that were looked at, ascending. */
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
/** A panel is settled when its density's highest terms are less than this part of the whole. */
const SETTLED = 1e-3;
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

interface Panel {
  readonly low: number;
  readonly high: number;
  readonly depth: number;
  readonly at: readonly number[];
  readonly logDensity: readonly number[];
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
  const points = Float64Array.from(panels.flatMap(({ at }) => at));
  const weights = Float64Array.from(
    panels.flatMap(({ low, high, logDensity }) =>
      logDensity.map((value, k) => (RULE.weights[k]! * Math.exp(value - most) * (high - low)) / 2),
    ),
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = points.reduce((sum, at, i) => sum + (at * weights[i]!) / total, 0);
  const variance = points.reduce((sum, at, i) => sum + ((at - mean) ** 2 * weights[i]!) / total, 0);
  const sd = Math.sqrt(variance);
  const counts = weights.reduce((count, weight) => count + (weight > 1e-9 * total ? 1 : 0), 0);
  const shifted = points.map((at) => at - mean);
  const rules = nodesFor.map((of): GaussRule => {
    const rule = finiteRule(shifted, weights, Math.max(1, Math.min(counts, of(sd))));
    const sum = rule.weights.reduce((part, share) => part + share, 0);
    return {
      nodes: rule.nodes.map((x) => x + mean),
      weights: rule.weights.map((share) => share / sum),
    };
  });
  return {
    logMass: most + Math.log(total),
    masses: panels
      .flatMap(({ logDensity }) => logDensity)
      .map((logDensity, i) => ({
        at: points[i]!,
        mass: weights[i]! / total,
        logDensity,
      })),
    rules,
    mean,
    sd,
    quantiles: {
      median: quantileOf(panels, most, 0.5 * total),
      low: quantileOf(panels, most, 0.05 * total),
      high: quantileOf(panels, most, 0.95 * total),
    },
  };
}

function settledPanels(
  borders: readonly number[],
  logDensities: (at: readonly number[]) => readonly number[],
  { settled: enough, far, most: mostPanels }: Bounds,
): readonly Panel[] {
  const lay = (stretches: readonly Pick<Panel, "low" | "high" | "depth">[]): readonly Panel[] => {
    const at = stretches.map(({ low, high }) =>
      Array.from(RULE.nodes, (x) => (low + high + (high - low) * x) / 2),
    );
    const found = logDensities(at.flat());
    const per = RULE.nodes.length;
    return stretches.map((stretch, i) => ({
      ...stretch,
      at: at[i]!,
      logDensity: found.slice(i * per, (i + 1) * per),
    }));
  };
  const step = borders.at(-1)! - borders[0]!;
  const settled: Panel[] = [];
  let prolonged = 0;
  let open = lay(borders.slice(1).map((high, i) => ({ low: borders[i]!, high, depth: 0 })));
  while (open.length > 0) {
    const all = [...settled, ...open].sort((a, b) => a.low - b.low);
    const most = largest(all);
    const total = all.reduce((sum, panel) => sum + massOf(panel, most), 0);
    const next: Pick<Panel, "low" | "high" | "depth">[] = [];
    if (all.length > mostPanels) {
      settled.push(...open);
      break;
    }
    for (const panel of open) {
      const { low, high, depth } = panel;
      if (isSettled(panel, most, total, enough)) settled.push(panel);
      else {
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

/** Whether the last two of the density's Legendre coefficients are negligible. */
function isSettled(panel: Panel, most: number, total: number, enough: number): boolean {
  const { low, high, depth, logDensity } = panel;
  if (depth === DEEPEST || massOf(panel, most) < NEGLIGIBLE * total) return true;
  const degree = RULE.nodes.length - 1;
  const last = [degree, degree - 1].map((n) => {
    const sum = logDensity.reduce(
      (part, value, k) =>
        part + Math.exp(value - most) * RULE.weights[k]! * legendre(n, RULE.nodes[k]!).value,
      0,
    );
    return Math.abs(sum) * (n + 0.5);
  });
  return Math.max(...last) * (high - low) < enough * total;
}

const largest = (panels: readonly Panel[]): number =>
  Math.max(...panels.flatMap(({ logDensity }) => logDensity));

/** Integral of exp(log density - most) over a panel. */
function massOf({ low, high, logDensity }: Panel, most: number): number {
  const sum = logDensity.reduce(
    (total, value, k) => total + RULE.weights[k]! * Math.exp(value - most),
    0,
  );
  return (sum * (high - low)) / 2;
}

/** A Gauss rule of so many nodes, or of fewer where the density is too narrow for them. */
export function finiteRule(points: Float64Array, weights: Float64Array, count: number): GaussRule {
  for (let n = count; n > 1; n--) {
    const rule = condensedRule(points, weights, n);
    if (rule.nodes.every(Number.isFinite) && rule.weights.every((w) => w > 0)) return rule;
  }
  return condensedRule(points, weights, 1);
}

/** Where the density reaches this mass: in each panel it is the polynomial through its nodes. */
function quantileOf(panels: readonly Panel[], most: number, mass: number): number {
  let below = 0;
  for (const panel of panels) {
    const own = massOf(panel, most);
    if (below + own >= mass) {
      const half = (panel.high - panel.low) / 2;
      const density = polynomialThrough(
        RULE.nodes,
        Float64Array.from(panel.logDensity, (value) => Math.exp(value - most) * half),
      );
      return panel.low + half * (1 + whereReached(integralOf(density), mass - below));
    }
    below += own;
  }
  return panels.at(-1)!.high;
}
