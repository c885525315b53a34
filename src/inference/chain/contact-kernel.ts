import { normalDensity } from "../../numerics/normal.ts";
import type { LogNormalPart } from "../problem.ts";
import { lagrangeBasis, type Mesh, NODES, type Panel, RULE } from "./mesh.ts";

/**
 * One contact's resistance as an operator on functions of the resistance behind it:
 *
 *     (K g)(t) = integral over r of p(r) g(t + r)
 *
 * for a mixture of log-normals `p`, as weights that turn values of `g` at the mesh's nodes into values of K g
 * there. Weights are exact for the mesh's interpolation: near r = 0, where p varies faster than
 * the panel, the integral runs in pieces of ln r.
 */
export interface ContactKernel {
  /** For each panel in turn, the blocks to it and to the panels behind it, as far as p reaches. */
  readonly blocks: readonly Block[];
  /** Where each panel's blocks begin, and how many it has. */
  readonly start: Int32Array;
  readonly reach: Int32Array;
  /** The weights for t = 0, by node. */
  readonly origin: Float64Array;
}

/** Weights from one panel's nodes (rows) to another's (columns). */
export type Block = Float64Array;

/** What has been worked out for one law of resistance, by the panels that it leads from and to. */
export interface BlockShelf {
  readonly law: readonly LogNormalPart[];
  readonly blocks: Map<Panel, Map<Panel, Block>>;
  readonly origins: Map<Panel, Float64Array>;
}

export const blockShelf = (law: readonly LogNormalPart[]): BlockShelf => ({
  law,
  blocks: new Map(),
  origins: new Map(),
});

/** Standard deviations of ln r that count. What lies outside has a probability under 1e-5. */
const REACH = 4.5;
/** Longest piece of ln r, in standard deviations, that one Gauss rule is trusted with. */
const PIECE = 2;

export function contactKernel(mesh: Mesh, shelf: BlockShelf): ContactKernel {
  const { law } = shelf;
  const most = Math.max(
    ...law.map(({ medianOhms, logSd }) => medianOhms * Math.exp(REACH * logSd)),
  );
  const blocks: Block[] = [];
  const start = new Int32Array(mesh.panels.length);
  const reach = new Int32Array(mesh.panels.length);
  const origin = new Float64Array(mesh.t.length);
  for (const [p, from] of mesh.panels.entries()) {
    const known = shelf.blocks.get(from) ?? new Map<Panel, Block>();
    shelf.blocks.set(from, known);
    start[p] = blocks.length;
    let to = p;
    for (; to < mesh.panels.length && mesh.panels[to]!.tLow - from.tHigh < most; to++) {
      blocks.push(kept(known, mesh.panels[to]!, (panel) => blockTo(mesh.scale, law, from, panel)));
    }
    reach[p] = to - p;
    origin.set(
      kept(shelf.origins, from, (panel) => rowTo(mesh.scale, law, 0, panel)),
      p * NODES,
    );
  }
  return { blocks, start, reach, origin };
}

function kept<Value>(shelf: Map<Panel, Value>, of: Panel, make: (of: Panel) => Value): Value {
  let value = shelf.get(of);
  if (value === undefined) {
    value = make(of);
    shelf.set(of, value);
  }
  return value;
}

function blockTo(scale: number, law: readonly LogNormalPart[], from: Panel, to: Panel): Block {
  const block = new Float64Array(NODES * NODES);
  for (let j = 0; j < NODES; j++) block.set(rowTo(scale, law, from.t[j]!, to), j * NODES);
  return block;
}

/** The weights of one panel's nodes for a path that starts from resistance `from`. */
function rowTo(
  scale: number,
  law: readonly LogNormalPart[],
  from: number,
  to: Panel,
): Float64Array {
  const row = new Float64Array(NODES);
  for (const part of law) addPart(scale, part, from, to, row);
  return row;
}

function addPart(
  scale: number,
  prior: LogNormalPart,
  from: number,
  to: Panel,
  row: Float64Array,
): void {
  const mean = Math.log(prior.medianOhms);
  const least = Math.exp(mean - REACH * prior.logSd);
  const most = Math.exp(mean + REACH * prior.logSd);
  const low = Math.max(to.tLow - from, least);
  const high = Math.min(to.tHigh - from, most);
  if (high <= low) return;
  const zLow = (Math.log(low) - mean) / prior.logSd;
  const zHigh = (Math.log(high) - mean) / prior.logSd;
  const whole = low === to.tLow - from && high === to.tHigh - from;
  if (whole && zHigh - zLow <= PIECE && high <= 8 * low) {
    addWholePanel(scale, prior, mean, from, to, row);
  } else addPieces(scale, prior, mean, from, to, zLow, zHigh, row);
}

/** A panel across which p is smooth: the panel's own Gauss nodes carry the integral. */
function addWholePanel(
  scale: number,
  prior: LogNormalPart,
  mean: number,
  from: number,
  to: Panel,
  row: Float64Array,
): void {
  const half = (to.high - to.low) / 2;
  for (let k = 0; k < NODES; k++) {
    const r = to.t[k]! - from;
    const z = (Math.log(r) - mean) / prior.logSd;
    const fold = 1 - to.u[k]!;
    const ohmsPerU = scale / (fold * fold);
    const density = (prior.share * normalDensity(z)) / (r * prior.logSd);
    row[k]! += density * ohmsPerU * half * RULE.weights[k]!;
  }
}

const basis = new Float64Array(NODES);

/** A panel across which p is not smooth: Gauss pieces in z = (ln r - mean) / sd. */
function addPieces(
  scale: number,
  prior: LogNormalPart,
  mean: number,
  from: number,
  to: Panel,
  zLow: number,
  zHigh: number,
  row: Float64Array,
): void {
  const pieces = Math.ceil((zHigh - zLow) / PIECE);
  const half = (zHigh - zLow) / pieces / 2;
  for (let piece = 0; piece < pieces; piece++) {
    const middle = zLow + half * (2 * piece + 1);
    for (let k = 0; k < NODES; k++) {
      const z = middle + half * RULE.nodes[k]!;
      const t = from + Math.exp(mean + prior.logSd * z);
      lagrangeBasis(to, t / (scale + t), basis);
      const weight = prior.share * normalDensity(z) * half * RULE.weights[k]!;
      for (let n = 0; n < NODES; n++) row[n]! += weight * basis[n]!;
    }
  }
}

/** to = K g: what a function of the resistance behind the contact is worth in front of it. */
export function pullBack(
  { blocks, reach }: ContactKernel,
  g: Float64Array,
  gAt: number,
  to: Float64Array,
  toAt: number,
): void {
  let next = 0;
  for (let p = 0; p < reach.length; p++) {
    const at = toAt + p * NODES;
    to.fill(0, at, at + NODES);
    for (let b = 0; b < reach[p]!; b++) addRows(blocks[next++]!, g, gAt + (p + b) * NODES, to, at);
  }
}

/** to += transpose(K) a: weights in front of the contact carried to the nodes behind it. */
export function pushForward(
  { blocks, start, reach }: ContactKernel,
  a: Float64Array,
  aAt: number,
  to: Float64Array,
  toAt: number,
): void {
  for (let p = 0; p < reach.length; p++) {
    const at = aAt + p * NODES;
    if (isEmpty(a, at)) continue;
    for (let b = 0; b < reach[p]!; b++) {
      addColumns(blocks[start[p]! + b]!, a, at, to, toAt + (p + b) * NODES);
    }
  }
}

/** A panel that holds no weight. */
function isEmpty(a: Float64Array, at: number): boolean {
  for (let j = at; j < at + NODES; j++) if (Math.abs(a[j]!) > EMPTY) return false;
  return true;
}

/** Weights sum to 1 at most: less than this in a node shows in no printed figure. */
const EMPTY = 1e-13;

/** to += block g, for eight nodes: written out, it runs twice as fast as a loop. */
function addRows(block: Block, g: Float64Array, gAt: number, to: Float64Array, toAt: number): void {
  const g0 = g[gAt]!;
  const g1 = g[gAt + 1]!;
  const g2 = g[gAt + 2]!;
  const g3 = g[gAt + 3]!;
  const g4 = g[gAt + 4]!;
  const g5 = g[gAt + 5]!;
  const g6 = g[gAt + 6]!;
  const g7 = g[gAt + 7]!;
  for (let j = 0, at = 0; j < NODES; j++, at += NODES) {
    to[toAt + j]! +=
      block[at]! * g0 +
      block[at + 1]! * g1 +
      block[at + 2]! * g2 +
      block[at + 3]! * g3 +
      block[at + 4]! * g4 +
      block[at + 5]! * g5 +
      block[at + 6]! * g6 +
      block[at + 7]! * g7;
  }
}

/** to += transpose(block) a. */
function addColumns(
  block: Block,
  a: Float64Array,
  aAt: number,
  to: Float64Array,
  toAt: number,
): void {
  const a0 = a[aAt]!;
  const a1 = a[aAt + 1]!;
  const a2 = a[aAt + 2]!;
  const a3 = a[aAt + 3]!;
  const a4 = a[aAt + 4]!;
  const a5 = a[aAt + 5]!;
  const a6 = a[aAt + 6]!;
  const a7 = a[aAt + 7]!;
  for (let m = 0; m < NODES; m++) {
    to[toAt + m]! +=
      block[m]! * a0 +
      block[m + NODES]! * a1 +
      block[m + 2 * NODES]! * a2 +
      block[m + 3 * NODES]! * a3 +
      block[m + 4 * NODES]! * a4 +
      block[m + 5 * NODES]! * a5 +
      block[m + 6 * NODES]! * a6 +
      block[m + 7 * NODES]! * a7;
  }
}
