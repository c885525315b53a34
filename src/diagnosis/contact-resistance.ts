import type { Estimate } from "../domain/findings.ts";
import type { LogNormal } from "../domain/pool.ts";
import { normalCdf } from "../numerics/normal.ts";
import { integralOf, polynomialThrough, whereReached } from "../numerics/polynomial.ts";
import type { ChainPool } from "./chain-pool.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import { CELL, type CellDensity, contactDensity } from "./contact-density.ts";
import { type Mesh, NODES } from "./mesh.ts";

/**
 * Median and 90 % interval of one contact's resistance over its three states, open counting as
 * infinite [Ω].
 *
 * The distribution function is integrated upward in cells of ln r, no further than the highest
 * quantile needs. Cell borders follow the mesh's panels as seen from where the path before the
 * contact puts it, so that a cell is narrow where the readings resolve the contact.
 */
export function resistanceEstimate(
  pool: ChainPool,
  mesh: Mesh,
  posterior: ContactPosterior,
  before: Float64Array,
): Estimate {
  const density = contactDensity(pool, mesh, posterior, before);
  const starts = anchors(mesh, before);
  const smooth = smoothSpan(pool, mesh, starts);
  const { sound, fouled, open } = posterior.states;
  const quantiles = new Quantiles(sound + fouled + open, OUTSIDE * (sound + fouled));
  const borders = cellBorders(pool, mesh, starts);
  for (let i = 0; i + 1 < borders.length && !quantiles.found; i++) {
    addCells(density, smooth, borders[i]!, borders[i + 1]!, quantiles);
  }
  return quantiles.estimate();
}

const REACH = 4;
/** What lies under the first cell: next to nothing, but a plateau's quantile feels it. */
const OUTSIDE = normalCdf(-REACH);
/** Borders closer than this in ln r are one. */
const CLOSE = 1e-3;
/** Cells are cut at least this often, in standard deviations of ln r. */
const SPAN_SDS = 1.6;

/** The density at the nodes of a cell of ln r, and its integral. */
class Cell {
  low = 0;
  high = 0;
  mass = 0;
  readonly values = new Float64Array(CELL.nodes.length);

  fill(density: CellDensity, low: number, high: number): void {
    const half = (high - low) / 2;
    density(low, half, this.values);
    let sum = 0;
    for (let k = 0; k < this.values.length; k++) sum += this.values[k]! * CELL.weights[k]!;
    this.low = low;
    this.high = high;
    this.mass = sum * half;
  }
}

/** Three quantiles of a distribution that comes in cells, from the lowest up. */
class Quantiles {
  readonly #targets: readonly number[];
  readonly #ohms = [Infinity, Infinity, Infinity];
  #below: number;
  #next = 0;

  /** `total` is the mass of everything, open contacts included, `below` what lies under all cells. */
  constructor(total: number, below: number) {
    this.#targets = [0.05 * total, 0.5 * total, 0.95 * total];
    this.#below = below;
  }

  get found(): boolean {
    return this.#next === this.#targets.length;
  }

  add(cell: Cell): void {
    while (!this.found && this.#below + cell.mass >= this.#targets[this.#next]!) {
      this.#ohms[this.#next] = Math.exp(placeIn(cell, this.#targets[this.#next]! - this.#below));
      this.#next++;
    }
    this.#below += cell.mass;
  }

  estimate(): Estimate {
    return { low: this.#ohms[0]!, median: this.#ohms[1]!, high: this.#ohms[2]! };
  }
}

const whole = new Cell();
const [left, right] = [new Cell(), new Cell()];

/** Adds one cell, or its halves' halves where five nodes may not settle its mass. */
function addCells(
  density: CellDensity,
  smooth: (low: number, high: number) => boolean,
  low: number,
  high: number,
  quantiles: Quantiles,
): void {
  whole.fill(density, low, high);
  if (smooth(low, high) || Math.abs(whole.mass) < 1e-7) {
    quantiles.add(whole);
    return;
  }
  const middle = (low + high) / 2;
  left.fill(density, low, middle);
  right.fill(density, middle, high);
  if (Math.abs(left.mass + right.mass - whole.mass) < 2e-5) {
    quantiles.add(left);
    quantiles.add(right);
    return;
  }
  addCells(density, smooth, low, middle, quantiles);
  addCells(density, smooth, middle, high, quantiles);
}

/**
 * Whether the density is sure to be smooth across a cell of ln r: the cell is short, or it spans a
 * small part of a panel where the contact starts from and of the prior's width.
 */
function smoothSpan(
  { contact }: ChainPool,
  mesh: Mesh,
  starts: readonly number[],
): (low: number, high: number) => boolean {
  let span = Infinity;
  for (const t of starts) {
    const { tLow, tHigh } = mesh.panels.find((panel) => panel.tHigh > t)!;
    span = Math.min(span, 0.5 * (tHigh - tLow));
  }
  const widest = SPAN_SDS * Math.min(contact.sound.logSd, contact.fouled.logSd);
  return (low, high) =>
    high - low < 0.15 || (high - low < widest && Math.exp(high) - Math.exp(low) < span);
}

/** ln r in the cell under which `target` of its mass lies. */
function placeIn({ low, high, values }: Cell, target: number): number {
  const half = (high - low) / 2;
  const integral = integralOf(polynomialThrough(CELL.nodes, values));
  return low + half * (1 + whereReached(integral, target / half));
}

/**
 * Borders of the cells in ln r, ascending: by the sound state's width as far as sound contacts go,
 * by the fouled state's beyond, and wherever a panel of the mesh ends.
 */
function cellBorders(pool: ChainPool, mesh: Mesh, starts: readonly number[]): Float64Array {
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
  for (const start of starts) {
    for (const end of mesh.ends) if (end > start) borders.push(Math.log(end - start));
  }
  // Sorts numbers as numbers, and much faster than an array.
  const sorted = Float64Array.from(borders).sort();
  let count = 0;
  for (const x of sorted) {
    if (x < least || x > most || (count > 0 && x - sorted[count - 1]! <= CLOSE)) continue;
    sorted[count] = x;
    count++;
  }
  return sorted.subarray(0, count);
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
