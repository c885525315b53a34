import { normalDensity } from "../distributions/normal.ts";
import type { LogNormal } from "../domain/pool.ts";
import { lagrangeBasis, type Mesh, NODES, RULE } from "./mesh.ts";

/**
 * One contact's resistance as an operator on functions of the resistance behind it:
 *
 *     (K g)(t) = integral over r of p(r) g(t + r)
 *
 * for a log-normal `p`. Row `j` holds the weights that turn values of `g` at the mesh's nodes
 * into (K g)(t_j); `origin` is the row of t = 0. Rows are exact for the mesh's interpolation: near
 * r = 0, where p varies faster than the panel, the integral runs in pieces of ln r.
 */
export interface ContactKernel {
  readonly size: number;
  /** Row-major `size` x `size`; a row is zero outside [first[j], last[j]). */
  readonly rows: Float64Array;
  readonly first: Int32Array;
  readonly last: Int32Array;
  /** The same transposed, a column of `rows` in a row; zero outside [top[m], bottom[m]). */
  readonly columns: Float64Array;
  readonly top: Int32Array;
  readonly bottom: Int32Array;
  readonly origin: Float64Array;
}

/** Standard deviations of ln r that count. What lies outside has a probability under 1e-5. */
const REACH = 4.5;
/** Longest piece of ln r, in standard deviations, that one Gauss rule is trusted with. */
const PIECE = 2;

const scratch = new Float64Array(NODES);

export function contactKernel(mesh: Mesh, prior: LogNormal): ContactKernel {
  const size = mesh.t.length;
  const rows = new Float64Array(size * size);
  const first = new Int32Array(size);
  const last = new Int32Array(size);
  for (let j = 0; j < size; j++) {
    const panel = Math.floor(j / NODES);
    first[j] = panel * NODES;
    last[j] = fillRow(mesh, prior, mesh.t[j]!, panel, rows.subarray(j * size, (j + 1) * size));
  }
  const origin = new Float64Array(size);
  fillRow(mesh, prior, 0, 0, origin);
  return { size, rows, first, last, ...transposed(size, rows, first, last), origin };
}

/** Sums along a column run as fast as along a row only if columns lie in a row. */
function transposed(size: number, rows: Float64Array, first: Int32Array, last: Int32Array) {
  const columns = new Float64Array(size * size);
  const top = new Int32Array(size).fill(size);
  const bottom = new Int32Array(size);
  for (let j = 0; j < size; j++) {
    for (let m = first[j]!; m < last[j]!; m++) {
      columns[m * size + j] = rows[j * size + m]!;
      top[m] = Math.min(top[m]!, j);
      bottom[m] = j + 1;
    }
  }
  return { columns, top, bottom };
}

/** Fills the row that starts from resistance `from`; returns the end of its non-zero part. */
function fillRow(
  mesh: Mesh,
  prior: LogNormal,
  from: number,
  fromPanel: number,
  row: Float64Array,
): number {
  const mean = Math.log(prior.medianOhms);
  const least = Math.exp(mean - REACH * prior.logSd);
  const most = Math.exp(mean + REACH * prior.logSd);
  const panels = mesh.borders.length - 1;
  for (let panel = fromPanel; panel < panels; panel++) {
    const low = Math.max(mesh.tBorders[panel]! - from, least);
    const high = Math.min(mesh.tBorders[panel + 1]! - from, most);
    if (high <= least) continue;
    if (low >= most) return panel * NODES;
    const zLow = (Math.log(low) - mean) / prior.logSd;
    const zHigh = (Math.log(high) - mean) / prior.logSd;
    const whole = low === mesh.tBorders[panel]! - from && high === mesh.tBorders[panel + 1]! - from;
    if (whole && zHigh - zLow <= PIECE && high <= 8 * low) {
      addWholePanel(mesh, prior, mean, from, panel, row);
    } else addPieces(mesh, prior, mean, from, panel, zLow, zHigh, row);
  }
  return mesh.t.length;
}

/** A panel across which p is smooth: the panel's own Gauss nodes carry the integral. */
function addWholePanel(
  mesh: Mesh,
  prior: LogNormal,
  mean: number,
  from: number,
  panel: number,
  row: Float64Array,
): void {
  const half = (mesh.borders[panel + 1]! - mesh.borders[panel]!) / 2;
  for (let k = 0; k < NODES; k++) {
    const node = panel * NODES + k;
    const r = mesh.t[node]! - from;
    const z = (Math.log(r) - mean) / prior.logSd;
    const fold = 1 - mesh.u[node]!;
    const ohmsPerU = mesh.scale / (fold * fold);
    row[node]! += (normalDensity(z) / (r * prior.logSd)) * ohmsPerU * half * RULE.weights[k]!;
  }
}

/** A panel across which p is not smooth: Gauss pieces in z = (ln r - mean) / sd. */
function addPieces(
  mesh: Mesh,
  prior: LogNormal,
  mean: number,
  from: number,
  panel: number,
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
      lagrangeBasis(mesh, panel, t / (mesh.scale + t), scratch);
      const weight = normalDensity(z) * half * RULE.weights[k]!;
      for (let n = 0; n < NODES; n++) row[panel * NODES + n]! += weight * scratch[n]!;
    }
  }
}

/** to = K g: what a function of the resistance behind the contact is worth in front of it. */
export function pullBack(
  kernel: ContactKernel,
  g: Float64Array,
  gAt: number,
  to: Float64Array,
  toAt: number,
): void {
  const { size, rows, first, last } = kernel;
  for (let j = 0; j < size; j++) {
    const end = last[j]!;
    const base = j * size;
    let even = 0;
    let odd = 0;
    // Panels have an even number of nodes, so rows do too.
    for (let m = first[j]!; m < end; m += 2) {
      even += rows[base + m]! * g[gAt + m]!;
      odd += rows[base + m + 1]! * g[gAt + m + 1]!;
    }
    to[toAt + j] = even + odd;
  }
}

/** to = transpose(K) a: weights in front of the contact carried to the nodes behind it. */
export function pushForward(
  kernel: ContactKernel,
  a: Float64Array,
  aAt: number,
  to: Float64Array,
  toAt: number,
): void {
  const { size, columns, top, bottom } = kernel;
  for (let m = 0; m < size; m++) {
    const end = bottom[m]!;
    const base = m * size;
    let sum = 0;
    for (let j = top[m]!; j < end; j++) sum += columns[base + j]! * a[aAt + j]!;
    to[toAt + m] = sum;
  }
}
