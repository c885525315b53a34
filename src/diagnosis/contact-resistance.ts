import { normalCdf, normalDensity } from "../distributions/normal.ts";
import type { Estimate } from "../domain/findings.ts";
import type { LogNormal, Pool } from "../domain/pool.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import { gaussLegendre } from "./gauss-legendre.ts";
import { lagrangeBasis, type Mesh, NODES } from "./mesh.ts";
import { integralOf, polynomial, polynomialThrough, whereReached } from "./polynomial.ts";

/**
 * Median and 90 % interval of one contact's resistance over its three states, open counting as
 * infinite [Ω].
 *
 * The distribution function is integrated upward in cells of ln r, no further than the highest
 * quantile needs. Cell borders follow the mesh's panels as seen from where the path before the
 * contact puts it, so that a cell is narrow where the readings resolve the contact.
 */
export function resistanceEstimate(
  pool: Pool,
  mesh: Mesh,
  posterior: ContactPosterior,
  before: Float64Array,
): Estimate {
  const density = densityOf(pool, mesh, posterior, before);
  const smooth = smoothSpan(pool, mesh, before);
  const { sound, fouled, open } = posterior.states;
  const total = sound + fouled + open;
  const targets = [0.05, 0.5, 0.95].map((p) => p * total);
  const found = [Infinity, Infinity, Infinity];
  const borders = cellBorders(pool, mesh, before);
  // What lies under the first cell: next to nothing, but a plateau's quantile feels it.
  let below = normalCdf(-REACH) * (sound + fouled);
  let next = 0;
  for (let i = 0; i + 1 < borders.length && next < targets.length; i++) {
    for (const cell of cellsOf(density, smooth, borders[i]!, borders[i + 1]!)) {
      while (next < targets.length && below + cell.mass >= targets[next]!) {
        found[next] = Math.exp(placeIn(cell, targets[next]! - below));
        next++;
      }
      below += cell.mass;
    }
  }
  return { low: found[0]!, median: found[1]!, high: found[2]! };
}

const REACH = 4;
/** Cells are cut at least this often, in standard deviations of ln r. */
const SPAN_SDS = 1.6;
const RULE = gaussLegendre(5);
/** Coefficients, by node, of the node's Lagrange polynomial, and of its integral from -1. */
const BASIS = basisOf(RULE.nodes);
const INTEGRALS = BASIS.map(integralOf);

/** The density at five nodes of a cell of ln r, and its integral. */
interface Cell {
  readonly low: number;
  readonly high: number;
  readonly values: Float64Array;
  readonly mass: number;
}

function cellOf(density: (lnR: number) => number, low: number, high: number): Cell {
  const half = (high - low) / 2;
  const values = new Float64Array(RULE.nodes.length);
  let mass = 0;
  for (let k = 0; k < RULE.nodes.length; k++) {
    const value = density(low + half * (1 + RULE.nodes[k]!));
    values[k] = value;
    mass += value * RULE.weights[k]! * half;
  }
  return { low, high, values, mass };
}

/** One cell, or its halves' halves where five nodes may not settle its mass. */
function cellsOf(
  density: (lnR: number) => number,
  smooth: (low: number, high: number) => boolean,
  low: number,
  high: number,
): readonly Cell[] {
  const whole = cellOf(density, low, high);
  if (smooth(low, high) || Math.abs(whole.mass) < 1e-7) return [whole];
  const middle = (low + high) / 2;
  const halves = [cellOf(density, low, middle), cellOf(density, middle, high)] as const;
  if (Math.abs(halves[0].mass + halves[1].mass - whole.mass) < 2e-5) return halves;
  return [...cellsOf(density, smooth, low, middle), ...cellsOf(density, smooth, middle, high)];
}

/**
 * Whether the density is sure to be smooth across a cell of ln r: the cell is short, or it spans a
 * small part of a panel where the contact starts from and of the prior's width.
 */
function smoothSpan(
  pool: Pool,
  mesh: Mesh,
  before: Float64Array,
): (low: number, high: number) => boolean {
  const panels = anchors(mesh, before).map((t) => {
    const { tLow, tHigh } = mesh.panels.find((panel) => panel.tHigh > t)!;
    return tHigh - tLow;
  });
  const span = 0.5 * Math.min(...panels);
  const widest = SPAN_SDS * Math.min(pool.contact.sound.logSd, pool.contact.fouled.logSd);
  return (low, high) =>
    high - low < 0.15 || (high - low < widest && Math.exp(high) - Math.exp(low) < span);
}

/** ln r in the cell under which `target` of its mass lies. */
function placeIn({ low, high, values }: Cell, target: number): number {
  const half = (high - low) / 2;
  return low + half * (1 + whereReached(weighted(INTEGRALS, values), target / half));
}

/** Coefficients of the sum of polynomials, each times its value. */
function weighted(polynomials: readonly Float64Array[], values: Float64Array): Float64Array {
  const sum = new Float64Array(polynomials[0]!.length);
  for (let k = 0; k < values.length; k++) {
    const own = polynomials[k]!;
    for (let n = 0; n < sum.length; n++) sum[n]! += values[k]! * own[n]!;
  }
  return sum;
}

function basisOf(nodes: Float64Array): readonly Float64Array[] {
  return Array.from(nodes, (node) =>
    polynomialThrough(
      nodes,
      nodes.map((other) => (other === node ? 1 : 0)),
    ),
  );
}

/** How likely the readings are, by state, if the contact has this resistance. */
interface Seen {
  sound: number;
  fouled: number;
}

/** The density of ln r, all states but open together. */
function densityOf(
  pool: Pool,
  mesh: Mesh,
  posterior: ContactPosterior,
  before: Float64Array,
): (lnR: number) => number {
  const { sound, fouled } = pool.contact;
  const starts = startsOf(mesh, before);
  const exact = seenAt(mesh, posterior, starts);
  const near = nearSpan(mesh, starts);
  const smooth = near > 0 ? throughNear(exact, near) : exact;
  const seen: Seen = { sound: 0, fouled: 0 };
  return (lnR) => {
    const r = Math.exp(lnR);
    if (r < near) smooth(r, seen);
    else exact(r, seen);
    return logNormal(sound, lnR) * seen.sound + logNormal(fouled, lnR) * seen.fouled;
  };
}

const logNormal = ({ medianOhms, logSd }: LogNormal, lnR: number): number =>
  normalDensity((lnR - Math.log(medianOhms)) / logSd) / logSd;

/** For each state, the sum over starts j and nodes m of coupling[j][m] * basis_m(t_j + r). */
function seenAt(
  mesh: Mesh,
  { sound, fouled, unseen }: ContactPosterior,
  { rows, t: from }: Starts,
): (r: number, seen: Seen) => void {
  return (r, seen) => {
    let soundSum = unseen.sound;
    let fouledSum = unseen.fouled;
    let panel = 0;
    for (let n = 0; n < rows.length; n++) {
      const t = from[n]! + r;
      while (t > mesh.ends[panel]!) panel++;
      // No path goes beyond the mesh.
      if (panel === mesh.panels.length) break;
      lagrangeBasis(mesh.panels[panel]!, t / (mesh.scale + t), basis);
      const at = rows[n]! * mesh.t.length + panel * NODES;
      soundSum += dot(sound, at);
      fouledSum += dot(fouled, at);
    }
    seen.sound = soundSum;
    seen.fouled = fouledSum;
  };
}

/** This part of a panel is short enough for a polynomial through five points. */
const NEAR = 0.25;
/** Fewer starts than this are summed as fast as a polynomial. */
const FEW_STARTS = 4;

/** Up to which resistance the sums over starts are sure to be smooth [Ω]; 0 where they are short. */
function nearSpan(mesh: Mesh, { rows, t }: Starts): number {
  if (rows.length < FEW_STARTS) return 0;
  const first = Math.floor(rows[0]! / NODES);
  const last = Math.floor(rows[rows.length - 1]! / NODES);
  const under = mesh.panels.slice(first, last + 2).map(({ tLow, tHigh }) => tHigh - tLow);
  const span = NEAR * Math.min(...under);
  // At the mesh's end the sums stop; a path as good as open has no end.
  return Number.isFinite(span) && span <= mesh.ends.at(-1)! - t[t.length - 1]! ? span : 0;
}

/** The same sums below `near`, by the polynomials through their values at five points. */
function throughNear(
  exact: (r: number, seen: Seen) => void,
  near: number,
): (r: number, seen: Seen) => void {
  const seen: Seen = { sound: 0, fouled: 0 };
  const sounds = new Float64Array(RULE.nodes.length);
  const fouleds = new Float64Array(RULE.nodes.length);
  for (const [k, x] of RULE.nodes.entries()) {
    exact((near / 2) * (1 + x), seen);
    sounds[k] = seen.sound;
    fouleds[k] = seen.fouled;
  }
  const sound = weighted(BASIS, sounds);
  const fouled = weighted(BASIS, fouleds);
  return (r, at) => {
    const x = (2 * r) / near - 1;
    at.sound = polynomial(sound, x);
    at.fouled = polynomial(fouled, x);
  };
}

interface Starts {
  readonly rows: Int32Array;
  /** Resistance before the contact, by row [Ω]. */
  readonly t: Float64Array;
}

/** The couplings' rows that count, and the resistance before the contact that each is for [Ω]. */
function startsOf(mesh: Mesh, before: Float64Array): Starts {
  if (before.length === 1) return { rows: Int32Array.of(0), t: Float64Array.of(0) };
  const most = before.reduce((top, x) => Math.max(top, Math.abs(x)), 0);
  const rows: number[] = [];
  for (let j = 0; j < before.length; j++) if (Math.abs(before[j]!) > 3e-5 * most) rows.push(j);
  return { rows: Int32Array.from(rows), t: Float64Array.from(rows, (j) => mesh.t[j]!) };
}

const basis = new Float64Array(NODES);

/** The sum of a panel's eight values times the basis. */
const dot = (values: Float64Array, at: number): number =>
  values[at]! * basis[0]! +
  values[at + 1]! * basis[1]! +
  values[at + 2]! * basis[2]! +
  values[at + 3]! * basis[3]! +
  values[at + 4]! * basis[4]! +
  values[at + 5]! * basis[5]! +
  values[at + 6]! * basis[6]! +
  values[at + 7]! * basis[7]!;

/**
 * Borders of the cells in ln r, ascending: by the sound state's width as far as sound contacts go,
 * by the fouled state's beyond, and wherever a panel of the mesh ends.
 */
function cellBorders(pool: Pool, mesh: Mesh, before: Float64Array): readonly number[] {
  const { sound, fouled } = pool.contact;
  const place = (prior: LogNormal, z: number): number =>
    Math.log(prior.medianOhms) + prior.logSd * z;
  const least = Math.min(place(sound, -REACH), place(fouled, -REACH));
  const soundEnds = place(sound, 2.25);
  const most = Math.max(place(sound, REACH), place(fouled, REACH));
  const borders = [least, most];
  for (let z = -REACH; z <= REACH; z += 1.25) {
    borders.push(Math.min(soundEnds, place(sound, z)), Math.max(soundEnds, place(fouled, z)));
  }
  for (const anchor of anchors(mesh, before)) {
    for (const { tHigh } of mesh.panels) {
      if (tHigh > anchor && Number.isFinite(tHigh)) borders.push(Math.log(tHigh - anchor));
    }
  }
  borders.sort((a, b) => a - b);
  return borders.filter(
    (x, i) => x >= least && x <= most && (i === 0 || x - borders[i - 1]! > 1e-3),
  );
}

/** Resistances before the contact at which much of the probability sits. */
function anchors(mesh: Mesh, before: Float64Array): readonly number[] {
  if (before.length === 1) return [0];
  const found: number[] = [];
  for (let panel = 0; panel * NODES < before.length; panel++) {
    let mass = 0;
    let moment = 0;
    for (let j = panel * NODES; j < (panel + 1) * NODES; j++) {
      mass += before[j]!;
      moment += before[j]! * mesh.t[j]!;
    }
    if (mass > 0.2) found.push(moment / mass);
  }
  return found;
}
