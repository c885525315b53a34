import { gaussLegendre } from "../numerics/gauss-legendre.ts";
import { normalCdf } from "../numerics/normal.ts";
import { integralOf, polynomial, polynomialThrough } from "../numerics/polynomial.ts";
import type { ContactWeights } from "./chain/adjoint.ts";
import type { CircuitModel } from "./chain/circuit-model.ts";
import { lagrangeBasis, type Mesh, NODES } from "./chain/mesh.ts";
import { type Messages, widthAt } from "./chain/messages.ts";
import { type Curve, curvesOf, densityAt } from "./law-density.ts";
import type { LinkProblem, LogNormalPart } from "./problem.ts";

/**
 * The resistance of one contact, over its states, as cells of ln r with a mass each, and what has
 * its prior still: behind an open contact nothing was seen. Open contacts are infinite.
 *
 * With the weights a(t) in front of the contact and the messages g behind it, the density of r
 * while it is sound is p_s(r) sum_t a(t) g(t + r), and likewise for the other states.
 */
export class ResistanceMass {
  readonly #cells: Cell[] = [];
  readonly #priors: { law: readonly LogNormalPart[]; mass: number }[] = [];
  #open = 0;
  /** What lies behind the cells, open or not: no quantile that is asked for falls there. */
  #beyond = 0;

  /** Adds a contact as seen at one node, `weight` times. */
  add(
    model: CircuitModel,
    messages: Messages,
    link: number,
    weights: ContactWeights,
    open: number,
    weight: number,
  ): void {
    const laws = model.circuit.links[link]!;
    const { sound, fouled } = laws;
    this.addUnseen(laws, weights.unseenSound, weights.unseenFouled, open, weight);
    const { mesh } = model;
    const starts = startsOf(mesh, link, weights, messages, LEAST / weight);
    if (starts.t.length === 0) return;
    const [soundLaw, fouledLaw] = [curvesOf(sound), curvesOf(fouled)];
    const borders = cellBorders(mesh, starts, [...soundLaw, ...fouledLaw]);
    let left = starts.total * weight;
    const enough = (1 - FAR_ENOUGH) * left;
    for (let i = 0; i + 1 < borders.length; i++) {
      if (left < enough) break;
      const low = borders[i]!;
      const high = borders[i + 1]!;
      const half = (high - low) / 2;
      let mass = 0;
      for (let k = 0; k < values.length; k++) {
        const lnR = low + half * (1 + CELL.nodes[k]!);
        seenAt(mesh, starts, Math.exp(lnR), seen);
        values[k] =
          half *
          weight *
          (densityAt(soundLaw, lnR) * seen[0]! + densityAt(fouledLaw, lnR) * seen[1]!);
        mass += CELL.weights[k]! * values[k]!;
      }
      if (mass > 0) {
        this.#cells.push({ low, high, mass, within: integralThrough(values) });
        left -= mass;
      }
    }
    this.#beyond += Math.max(0, left);
  }

  /** Adds what nothing was seen of: by its laws where it is sound or fouled, else open. */
  addUnseen(
    laws: Pick<LinkProblem, "sound" | "fouled">,
    sound: number,
    fouled: number,
    open: number,
    weight: number,
  ): void {
    this.#open += weight * open;
    this.addPrior(laws.sound, weight * sound);
    this.addPrior(laws.fouled, weight * fouled);
  }

  addPrior(law: readonly LogNormalPart[], mass: number): void {
    if (mass > 1e-6) this.#priors.push({ law, mass });
  }

  /** Quantiles of r [Ω] to a part in a million, infinite where they fall on open; `ps` rise. */
  quantiles(ps: readonly number[]): number[] {
    const inCells = this.#cells.reduce((sum, { mass }) => sum + mass, 0);
    const inPriors = this.#priors.reduce((sum, { mass }) => sum + mass, 0);
    const total = inCells + inPriors + this.#beyond + this.#open;
    let least = LEAST_LN;
    return ps.map((p) => {
      if (p * total > inCells + inPriors) return Number.POSITIVE_INFINITY;
      let [low, high] = [least, MOST_LN];
      while (high - low > FINE) {
        const middle = (low + high) / 2;
        if (this.#under(middle) < p * total) low = middle;
        else high = middle;
      }
      least = low;
      return Math.exp((low + high) / 2);
    });
  }

  #under(lnR: number): number {
    let sum = 0;
    for (const { low, high, mass, within } of this.#cells) {
      if (lnR >= high) sum += mass;
      else if (lnR > low) sum += polynomial(within, (2 * (lnR - low)) / (high - low) - 1);
    }
    for (const { law, mass } of this.#priors) {
      for (const part of law) {
        const z = (lnR - Math.log(part.medianOhms)) / part.logSd;
        sum += mass * part.share * normalCdf(z);
      }
    }
    return sum;
  }
}

/** A stretch of ln r, its mass, and the mass up to a place in it (-1 to 1) as a polynomial. */
interface Cell {
  readonly low: number;
  readonly high: number;
  readonly mass: number;
  readonly within: Float64Array;
}

/** Between which ln r lies [ln Ω], and how far a quantile is followed. */
const [LEAST_LN, MOST_LN, FINE] = [-30, 45, 1e-6];
const CELL = gaussLegendre(5);
/** The part of the mass that cells go up to: beyond the highest quantile. */
const FAR_ENOUGH = 0.999;
/** Cells are cut at least this often, in ln r. */
const WIDEST = 1;
/** A start of less than this part of all weight does not count. */
const STARTS = 1e-4;
/** Nor does one of less than this part of the posterior, but for what leaves this much of a way. */
const LEAST = 1e-5;
const MOST_LEFT = 0.02;

/** Resistances in front of the contact that count, and by suffix the rows that belong to them. */
interface Starts {
  readonly t: Float64Array;
  readonly suffixes: number;
  /** By start, then suffix: weights; sound with g, fouled with g, and behind an intermittent with h. */
  readonly sound: Float64Array;
  readonly fouled: Float64Array;
  readonly shakySound: Float64Array | null;
  readonly shakyFouled: Float64Array | null;
  readonly g: Float64Array;
  readonly h: Float64Array;
  /** Where most of the weight is [Ω], and all of it. */
  readonly anchors: readonly number[];
  readonly total: number;
}

function startsOf(
  mesh: Mesh,
  link: number,
  weights: ContactWeights,
  messages: Messages,
  least: number,
): Starts {
  const size = mesh.t.length;
  const width = widthAt(link, size);
  const share = new Float64Array(width);
  const { suffixes, sound, fouled, shakySound, shakyFouled } = weights;
  const [soundG, fouledG] = [messages.soundG[link]!, messages.fouledG[link]!];
  const [soundH, fouledH] = [messages.soundH[link]!, messages.fouledH[link]!];
  for (let q = 0; q < suffixes; q++) {
    for (let m = 0; m < width; m++) {
      const at = q * width + m;
      share[m]! += sound[at]! * soundG[at]! + fouled[at]! * fouledG[at]!;
      if (shakySound !== null) {
        share[m]! += shakySound[at]! * soundH[at]! + shakyFouled![at]! * fouledH[at]!;
      }
    }
  }
  const total = share.reduce((sum, x) => sum + x, 0);
  const enough = Math.max(STARTS * total, Math.min(least, MOST_LEFT * total));
  const kept: number[] = [];
  for (let m = 0; m < width; m++) if (Math.abs(share[m]!) > enough) kept.push(m);
  return {
    t: Float64Array.from(kept, (m) => (link === 0 ? 0 : mesh.t[m]!)),
    suffixes,
    sound: weightsOf(kept, sound, suffixes),
    fouled: weightsOf(kept, fouled, suffixes),
    shakySound: shakySound === null ? null : weightsOf(kept, shakySound, suffixes),
    shakyFouled: shakyFouled === null ? null : weightsOf(kept, shakyFouled, suffixes),
    g: messages.g[link]!,
    h: messages.h[link]!,
    anchors: link === 0 ? [0] : anchorsOf(mesh, share, total),
    total,
  };
}

/** Those of the nodes that are kept, by node, then suffix. */
function weightsOf(kept: readonly number[], from: Float64Array, suffixes: number): Float64Array {
  const width = from.length / suffixes;
  const found = new Float64Array(kept.length * suffixes);
  for (let s = 0; s < kept.length; s++) {
    for (let q = 0; q < suffixes; q++) found[s * suffixes + q] = from[q * width + kept[s]!]!;
  }
  return found;
}

/** Means of the panels that hold much of the weight. */
function anchorsOf(mesh: Mesh, share: Float64Array, total: number): readonly number[] {
  const found: number[] = [];
  for (let first = 0; first < share.length; first += NODES) {
    let mass = 0;
    let moment = 0;
    for (let m = first; m < first + NODES; m++) {
      mass += share[m]!;
      moment += share[m]! * mesh.t[m]!;
    }
    if (mass > 0.1 * total) found.push(moment / mass);
  }
  return found;
}

/** By node of a cell: the integral of the polynomial that is 1 there and 0 at the others. */
const INTEGRALS = Array.from(CELL.nodes, (_, k) => {
  const one = CELL.nodes.map((_node, other) => (other === k ? 1 : 0));
  return integralOf(polynomialThrough(CELL.nodes, one));
});

/** The integral, from a cell's lower border, of the polynomial through values at its nodes. */
function integralThrough(values: Float64Array): Float64Array {
  const integral = new Float64Array(INTEGRALS.length + 1);
  for (let k = 0; k < INTEGRALS.length; k++) {
    const [own, value] = [INTEGRALS[k]!, values[k]!];
    for (let n = 0; n < integral.length; n++) integral[n]! += value * own[n]!;
  }
  return integral;
}

/** Written over at every cell and place. */
const values = new Float64Array(CELL.nodes.length);
const basis = new Float64Array(NODES);
const seen = new Float64Array(2);

/** Sum over starts and suffixes of weight times what lies behind: while sound, while fouled. */
function seenAt(mesh: Mesh, starts: Starts, r: number, to: Float64Array): void {
  const { suffixes, sound, fouled, shakySound, shakyFouled, g, h } = starts;
  const { panels, ends, scale } = mesh;
  const size = mesh.t.length;
  const end = ends[ends.length - 1]!;
  let ifSound = 0;
  let ifFouled = 0;
  let panel = 0;
  for (let s = 0; s < starts.t.length; s++) {
    const t = starts.t[s]! + r;
    // No path goes beyond the mesh.
    if (t > end) break;
    while (panel + 1 < panels.length && t > ends[panel]!) panel++;
    lagrangeBasis(panels[panel]!, t / (scale + t), basis);
    for (let q = 0; q < suffixes; q++) {
      const own = s * suffixes + q;
      const at = q * size + panel * NODES;
      const steady = dot(g, at);
      ifSound += sound[own]! * steady;
      ifFouled += fouled[own]! * steady;
      if (shakySound === null) continue;
      const shaky = dot(h, at);
      ifSound += shakySound[own]! * shaky;
      ifFouled += shakyFouled![own]! * shaky;
    }
  }
  to[0] = Math.max(0, ifSound);
  to[1] = Math.max(0, ifFouled);
}

const dot = (values: Float64Array, at: number): number =>
  values[at]! * basis[0]! +
  values[at + 1]! * basis[1]! +
  values[at + 2]! * basis[2]! +
  values[at + 3]! * basis[3]! +
  values[at + 4]! * basis[4]! +
  values[at + 5]! * basis[5]! +
  values[at + 6]! * basis[6]! +
  values[at + 7]! * basis[7]!;

/** Borders of the cells: even in ln r as far as the laws go, and halves of the mesh's panels. */
function cellBorders(mesh: Mesh, starts: Starts, law: readonly Curve[]): readonly number[] {
  const least = Math.min(...law.map(({ lnMedian, logSd }) => lnMedian - 4.5 * logSd));
  const most = Math.max(...law.map(({ lnMedian, logSd }) => lnMedian + 4.5 * logSd));
  const borders: number[] = [];
  const count = Math.ceil((most - least) / WIDEST);
  for (let i = 0; i <= count; i++) borders.push(least + ((most - least) * i) / count);
  for (const start of starts.anchors) {
    for (const { tLow, tHigh } of mesh.panels) {
      for (const part of [0, 0.5]) {
        const u = tLow + (Number.isFinite(tHigh) ? (tHigh - tLow) * part : 0);
        if (u > start) borders.push(Math.log(u - start));
      }
    }
  }
  return borders
    .filter((x) => x >= least && x <= most)
    .sort((a, b) => a - b)
    .filter((x, i, all) => i === 0 || x - all[i - 1]! > 1e-3);
}
