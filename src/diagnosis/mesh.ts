import { gaussLegendre } from "./gauss-legendre.ts";

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
  /** Panel borders in `u`, from 0 to 1. */
  readonly borders: Float64Array;
  /** Nodes in `u`, ascending, `NODES` to a panel. */
  readonly u: Float64Array;
  /** The same nodes as resistance [Ω]. */
  readonly t: Float64Array;
  /** Panel borders as resistance [Ω]; the last is infinite. */
  readonly tBorders: Float64Array;
}

/** Where likelihoods vary: an interval of `u`, and how many readings put it there. */
export interface Feature {
  readonly low: number;
  readonly high: number;
  readonly readings: number;
}

export const NODES = 8;
export const RULE = gaussLegendre(NODES);

/** Cuts the axis for these features. `width` is one standard deviation of the noise in `u`. */
export function buildMesh(scale: number, features: readonly Feature[], width: number): Mesh {
  const borders = [0];
  let at = 0;
  while (at < 1) {
    let step = panelWidth(at, features, width);
    for (const ahead of [1, 0.5]) {
      step = Math.min(step, Math.max(panelWidth(at + ahead * step, features, width), step / 4));
    }
    at += step;
    if (at > 1 - step / 2) at = 1;
    borders.push(at);
  }
  return meshFromBorders(scale, Float64Array.from(borders));
}

/** How wide a panel may be at `u`: by its distance from the nearest feature. */
function panelWidth(u: number, features: readonly Feature[], width: number): number {
  let least = 0.6;
  for (const { low, high, readings } of features) {
    // The product of n likelihoods is narrower than one of them by the root of n.
    const narrow = (2.4 * width) / Math.sqrt(2 ** Math.ceil(Math.log2(readings)));
    const distance = u < low ? low - u : u > high ? u - high : 0;
    if (distance <= 1.5 * width) least = Math.min(least, narrow);
    else if (distance <= 4 * width) least = Math.min(least, 2 * narrow);
    else least = Math.min(least, Math.max(2 * narrow, 1.5 * distance));
  }
  return least;
}

function meshFromBorders(scale: number, borders: Float64Array): Mesh {
  const panels = borders.length - 1;
  const u = new Float64Array(panels * NODES);
  for (let panel = 0; panel < panels; panel++) {
    const left = borders[panel]!;
    const half = (borders[panel + 1]! - left) / 2;
    for (let k = 0; k < NODES; k++) u[panel * NODES + k] = left + half * (1 + RULE.nodes[k]!);
  }
  return {
    scale,
    borders,
    u,
    t: u.map((x) => (scale * x) / (1 - x)),
    tBorders: borders.map((x) => (x < 1 ? (scale * x) / (1 - x) : Number.POSITIVE_INFINITY)),
  };
}

/** Writes into `basis` the value at `u` of each of the panel's Lagrange polynomials. */
export function lagrangeBasis(mesh: Mesh, panel: number, u: number, basis: Float64Array): void {
  const left = mesh.borders[panel]!;
  const x = (2 * (u - left)) / (mesh.borders[panel + 1]! - left) - 1;
  let sum = 0;
  for (let k = 0; k < NODES; k++) {
    const gap = x - RULE.nodes[k]!;
    if (gap === 0) {
      basis.fill(0);
      basis[k] = 1;
      return;
    }
    const term = RULE.barycentric[k]! / gap;
    basis[k] = term;
    sum += term;
  }
  for (let k = 0; k < NODES; k++) basis[k]! /= sum;
}
