import { gaussLegendre } from "../numerics/gauss-legendre.ts";

/**
 * The axis of series resistance on which messages live.
 *
 * `t` is the resistance that contacts have added up to a point [Ω]. Its axis is folded to
 * `u = t / (scale + t)` in [0, 1), with `scale` the loop's resistance without contacts [Ω]: a
 * meter's display is linear in `u`, so its noise is one width everywhere, and an ever larger
 * resistance ends at u = 1. Panels cut the axis: narrow where a reading's likelihood varies,
 * widening away from there. In each panel a function is the polynomial through its values at
 * `NODES` Gauss-Legendre nodes.
 */
export interface Mesh {
  readonly scale: number;
  /** From u = 0 on, each where the one before ends: to u = 1, or where no path goes on. */
  readonly panels: readonly Panel[];
  /** Nodes in `u`, ascending, `NODES` to a panel. */
  readonly u: Float64Array;
  /** The same nodes as resistance [Ω]. */
  readonly t: Float64Array;
  /** Where each panel ends [Ω]. */
  readonly ends: Float64Array;
}

/** One stretch of the axis. */
export interface Panel {
  /** Borders in `u`. */
  readonly low: number;
  readonly high: number;
  /** The same as resistance [Ω]; infinite at u = 1. */
  readonly tLow: number;
  readonly tHigh: number;
  readonly u: Float64Array;
  readonly t: Float64Array;
}

/**
 * All panels that meshes of one scale and noise are made of: the axis and what halving it gives.
 * Meshes share panels, so that what two panels have to do with each other is worked out once.
 */
export interface PanelTree {
  readonly scale: number;
  /** One standard deviation of the noise in `u`. */
  readonly width: number;
  /** Laid when first asked for; halves of panel `n` are 2n and 2n + 1. */
  readonly panels: Map<number, Panel>;
}

/** Where likelihoods vary: an interval of `u`, and how many readings put it there. */
export interface Feature {
  readonly low: number;
  readonly high: number;
  readonly readings: number;
}

export const NODES = 8;
export const RULE = gaussLegendre(NODES);
type Eight = readonly [number, number, number, number, number, number, number, number];
const [n0, n1, n2, n3, n4, n5, n6, n7] = Array.from(RULE.nodes) as unknown as Eight;
const [w0, w1, w2, w3, w4, w5, w6, w7] = Array.from(RULE.barycentric) as unknown as Eight;

/** Width of a panel across one reading's likelihood, in standard deviations of its noise. */
const NARROW = 2.9;

export const panelTree = (scale: number, width: number): PanelTree => ({
  scale,
  width,
  panels: new Map(),
});

/**
 * Cuts the axis for these features, by halving what is too wide for the nearest of them, up to the
 * panel that holds `end`.
 */
export function buildMesh(tree: PanelTree, features: readonly Feature[], end: number): Mesh {
  const { width } = tree;
  return layMesh(tree, end, (low, high) => high - low > widest(low, high, features, width));
}

/** Cuts the axis from u = 0 on by halving what is `tooWide`, up to the panel that holds `end`. */
export function layMesh(
  tree: PanelTree,
  end: number,
  tooWide: (low: number, high: number) => boolean,
): Mesh {
  const { scale, width } = tree;
  // Halved often enough, the root becomes a panel of exactly the width that one reading needs.
  const root = NARROW * width * 2 ** Math.ceil(Math.log2(1 / (NARROW * width)));
  const panels: Panel[] = [];
  const cut = (id: number, low: number, span: number): void => {
    if (low >= end) return;
    if (tooWide(low, Math.min(1, low + span))) {
      cut(2 * id, low, span / 2);
      cut(2 * id + 1, low + span / 2, span / 2);
    } else panels.push(panelOf(tree, id, low, Math.min(1, low + span)));
  };
  cut(1, 0, root);
  const ends = Float64Array.from(panels, ({ tHigh }) => tHigh);
  return { scale, panels, u: joined(panels, "u"), t: joined(panels, "t"), ends };
}

/** How wide a panel may be in [low, high]: by its distance from the nearest feature. */
function widest(low: number, high: number, features: readonly Feature[], width: number): number {
  let least = 0.6;
  for (const feature of features) {
    // The product of n likelihoods is narrower than one of them by the root of n.
    const narrow = (1 + 1e-9) * NARROW * (width / Math.sqrt(feature.readings));
    const distance = Math.max(0, low - feature.high, feature.low - high);
    if (distance <= 1.5 * width) least = Math.min(least, narrow);
    else if (distance <= 4 * width) least = Math.min(least, 2 * narrow);
    else least = Math.min(least, Math.max(2 * narrow, 1.5 * distance));
  }
  return least;
}

function panelOf({ scale, panels }: PanelTree, id: number, low: number, high: number): Panel {
  let panel = panels.get(id);
  if (panel === undefined) {
    const half = (high - low) / 2;
    const u = RULE.nodes.map((x) => low + half * (1 + x));
    const ohms = (x: number): number => (x < 1 ? (scale * x) / (1 - x) : Number.POSITIVE_INFINITY);
    panel = { low, high, tLow: ohms(low), tHigh: ohms(high), u, t: u.map(ohms) };
    panels.set(id, panel);
  }
  return panel;
}

function joined(panels: readonly Panel[], axis: "u" | "t"): Float64Array {
  const values = new Float64Array(panels.length * NODES);
  for (const [p, panel] of panels.entries()) values.set(panel[axis], p * NODES);
  return values;
}

/**
 * Writes into `basis` the value at `u` of each of the panel's Lagrange polynomials: its weight times
 * the product of the distances from all other nodes. Written out, it runs three times as fast.
 */
export function lagrangeBasis(
  { low, high }: Pick<Panel, "low" | "high">,
  u: number,
  basis: Float64Array,
): void {
  const x = (2 * (u - low)) / (high - low) - 1;
  const d0 = x - n0;
  const d1 = x - n1;
  const d2 = x - n2;
  const d3 = x - n3;
  const d4 = x - n4;
  const d5 = x - n5;
  const d6 = x - n6;
  const d7 = x - n7;
  const below2 = d0 * d1;
  const below3 = below2 * d2;
  const below4 = below3 * d3;
  const below5 = below4 * d4;
  const below6 = below5 * d5;
  const above5 = d7 * d6;
  const above4 = above5 * d5;
  const above3 = above4 * d4;
  const above2 = above3 * d3;
  const above1 = above2 * d2;
  basis[0] = w0 * above1 * d1;
  basis[1] = w1 * d0 * above1;
  basis[2] = w2 * below2 * above2;
  basis[3] = w3 * below3 * above3;
  basis[4] = w4 * below4 * above4;
  basis[5] = w5 * below5 * above5;
  basis[6] = w6 * below6 * d7;
  basis[7] = w7 * below6 * d6;
}
