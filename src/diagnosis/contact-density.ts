import type { LogNormal } from "../domain/pool.ts";
import { gaussLegendre } from "../numerics/gauss-legendre.ts";
import { normalDensity } from "../numerics/normal.ts";
import { polynomial, polynomialThrough } from "../numerics/polynomial.ts";
import type { ChainPool } from "./chain-pool.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import { lagrangeBasis, type Mesh, NODES } from "./mesh.ts";

/** The rule of one cell of ln r. */
export const CELL = gaussLegendre(5);

/** Writes the density at a cell's nodes into `values`: from ln r = `low` on, each way `half` wide. */
export type CellDensity = (low: number, half: number, values: Float64Array) => void;

/** The density of ln r of one contact, all states but open together. */
export function contactDensity(
  pool: ChainPool,
  mesh: Mesh,
  posterior: ContactPosterior,
  before: Float64Array,
): CellDensity {
  const sound = scaled(pool.contact.sound);
  const fouled = scaled(pool.contact.fouled);
  const starts = startsOf(mesh, before);
  const near = nearSpan(mesh, starts);
  const [soundNear, fouledNear] = throughNear(mesh, posterior, starts, near);
  return (low, half, values) => {
    for (let k = 0; k < values.length; k++) {
      const lnR = low + half * (1 + CELL.nodes[k]!);
      const r = Math.exp(lnR);
      if (r < near) {
        const x = (2 * r) / near - 1;
        seen[0] = polynomial(soundNear, x);
        seen[1] = polynomial(fouledNear, x);
      } else look(mesh, posterior, starts, r);
      values[k] = logNormal(sound, lnR) * seen[0]! + logNormal(fouled, lnR) * seen[1]!;
    }
  };
}

/** How likely the readings are if the contact has a resistance: while sound, while fouled. */
const seen = new Float64Array(2);

/** A normal of ln ohms. */
interface LnOhms {
  readonly mean: number;
  readonly sd: number;
}

const scaled = ({ medianOhms, logSd }: LogNormal): LnOhms => ({
  mean: Math.log(medianOhms),
  sd: logSd,
});

const logNormal = ({ mean, sd }: LnOhms, lnR: number): number =>
  normalDensity((lnR - mean) / sd) / sd;

/** Sets `seen`: for each state the sum over starts j, nodes m of coupling[j][m] * basis_m(t_j + r). */
function look(
  mesh: Mesh,
  { sound, fouled, unseen }: ContactPosterior,
  { rows, t: from }: Starts,
  r: number,
): void {
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
  seen[0] = soundSum;
  seen[1] = fouledSum;
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

/** The same sums below `near`, as polynomials through their values at five points. */
function throughNear(
  mesh: Mesh,
  posterior: ContactPosterior,
  starts: Starts,
  near: number,
): readonly [sound: Float64Array, fouled: Float64Array] {
  const sounds = new Float64Array(CELL.nodes.length);
  const fouleds = new Float64Array(CELL.nodes.length);
  if (near === 0) return [sounds, fouleds];
  for (let k = 0; k < CELL.nodes.length; k++) {
    look(mesh, posterior, starts, (near / 2) * (1 + CELL.nodes[k]!));
    sounds[k] = seen[0]!;
    fouleds[k] = seen[1]!;
  }
  return [polynomialThrough(CELL.nodes, sounds), polynomialThrough(CELL.nodes, fouleds)];
}

interface Starts {
  readonly rows: Int32Array;
  /** Resistance before the contact, by row [Ω]. */
  readonly t: Float64Array;
}

/** A start of less than this part of the likeliest one's weight does not count. */
const STARTS = 3e-5;

/** The couplings' rows that count, and the resistance before the contact that each is for [Ω]. */
function startsOf(mesh: Mesh, before: Float64Array): Starts {
  if (before.length === 1) return { rows: Int32Array.of(0), t: Float64Array.of(0) };
  let most = 0;
  for (let j = 0; j < before.length; j++) most = Math.max(most, Math.abs(before[j]!));
  const counts = (j: number): boolean => Math.abs(before[j]!) > STARTS * most;
  let count = 0;
  for (let j = 0; j < before.length; j++) if (counts(j)) count++;
  const rows = new Int32Array(count);
  const t = new Float64Array(count);
  for (let j = 0, n = 0; n < count; j++) {
    if (!counts(j)) continue;
    rows[n] = j;
    t[n] = mesh.t[j]!;
    n++;
  }
  return { rows, t };
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
