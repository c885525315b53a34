import { gaussLegendre } from "../../numerics/gauss-legendre.ts";

/**
 * The axis of series resistance on which messages live.
 *
 * `t` is the resistance that contacts have added up to a point [Ω]. Its axis is folded to
 *
 *     u = t / (scale + t)   in [0, 1)
 *
 * so that, with `scale` near a meter's load, its noise is about one width everywhere and an ever
 * larger resistance ends at u = 1. Panels cut the axis by halving: narrow where a likelihood
 * varies, wide away from there. In each panel a function is the polynomial through its values at
 * `NODES` Gauss-Legendre nodes.
 */
export interface Mesh {
  readonly scale: number;
  /** From u = 0 on, each where the one before ends: to u = 1, or where no path goes on. */
  readonly panels: readonly Panel[];
  /** Nodes as resistance [Ω], ascending, `NODES` to a panel. */
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
 * All panels that meshes of one scale are made of: the axis and what halving it gives. Meshes share
 * panels, so that what two panels have to do with each other is worked out once.
 */
export interface PanelTree {
  readonly scale: number;
  /** Laid when first asked for; halves of panel `n` are 2n and 2n + 1. */
  readonly panels: Map<number, Panel>;
}

/** Where a likelihood varies: an interval of `u`, and how fast [u per standard deviation]. */
export interface Feature {
  readonly low: number;
  readonly high: number;
  readonly width: number;
}

export const NODES = 8;
export const RULE = gaussLegendre(NODES);

/** Width of a panel across one likelihood, in its standard deviations. */
const NARROW = 4.2;
/** Halving stops here: a panel of 2^-40 of the axis. */
const DEEPEST = 40;

export const panelTree = (scale: number): PanelTree => ({ scale, panels: new Map() });

/**
 * Cuts the axis by halving what is too wide for the nearest feature, up to the panel that holds
 * `end`: 1, or where no path goes on.
 */
export function buildMesh(tree: PanelTree, features: readonly Feature[], end = 1): Mesh {
  const { scale } = tree;
  const panels: Panel[] = [];
  const cut = (id: number, low: number, span: number, depth: number): void => {
    if (low >= end) return;
    if (depth < DEEPEST && tooWide(low, low + span, features)) {
      cut(2 * id, low, span / 2, depth + 1);
      cut(2 * id + 1, low + span / 2, span / 2, depth + 1);
    } else panels.push(panelOf(tree, id, low, low + span));
  };
  cut(1, 0, 1, 0);
  const t = new Float64Array(panels.length * NODES);
  for (const [p, panel] of panels.entries()) t.set(panel.t, p * NODES);
  return { scale, panels, t, ends: Float64Array.from(panels, ({ tHigh }) => tHigh) };
}

/** The widest panel that nothing asks to be cut. */
const WIDEST = 0.51;

function tooWide(low: number, high: number, features: readonly Feature[]): boolean {
  const span = high - low;
  if (span > WIDEST) return true;
  for (const feature of features) {
    const narrow = NARROW * feature.width;
    if (span <= narrow) continue;
    const distance = Math.max(0, low - feature.high, feature.low - high);
    if (distance <= 1.5 * feature.width) return true;
    if (span > 2 * narrow && (distance <= 4 * feature.width || span > 1.5 * distance)) return true;
  }
  return false;
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

type Eight = readonly [number, number, number, number, number, number, number, number];
const [n0, n1, n2, n3, n4, n5, n6, n7] = Array.from(RULE.nodes) as unknown as Eight;
const [w0, w1, w2, w3, w4, w5, w6, w7] = Array.from(RULE.barycentric) as unknown as Eight;

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
