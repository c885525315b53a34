import type { ContactMoments } from "./contact-moments.ts";
import { NODES, ohmsAt } from "./level-grid.ts";
import { type Along, begin, type PathValues, takeIn } from "./path-values.ts";
import type { PathSupply } from "./supply-line.ts";

/** The first level that a meter could tell from none at all. */
const FIRST = 12;
/** Up to half an ohm or so every fourth level is enough. */
const FINE_FROM = 32;
const COARSE = 4;
/** A value so far from what a level lets expect is a stray one [ln]. */
const DOWN = 7;

const along: Along = { series: 0, variance: 0, likelihood: 1 };

/**
 * ln P(one path's values | the level of one contact), one row of nodes a walk: the full likelihood of
 * every displayed value from that contact on, the others being what the other walks let expect.
 */
export function contactTable(
  path: PathValues,
  position: number,
  moments: readonly ContactMoments[],
  supply: PathSupply,
  scatter: number,
): Float64Array {
  const walks = supply.emf.length;
  const table = new Float64Array(walks * NODES);
  for (let w = 0; w < walks; w++) {
    const base = w * path.contacts;
    if (path.first[base + position] === path.first[base + path.contacts]) continue;
    const load = path.load[path.first[base + position]!]!;
    const emf = supply.emf[w]!;
    begin(path, load, emf, wholeError(supply, w), along);
    for (let k = 0; k < position; k++) pass(path, w, k, moments[k]!, emf, scatter);
    const { series, variance } = along;
    let most = Number.NEGATIVE_INFINITY;
    let flat = 0;
    for (let i = FIRST; i < NODES; i += i < FINE_FROM ? COARSE : 1) {
      along.series = series + path.wires[position]! + ohmsAt[i]!;
      along.variance = variance + (scatter * ohmsAt[i]!) ** 2;
      along.likelihood = 1;
      takeIn(path, w, position, emf, along);
      for (let k = position + 1; k < path.contacts; k++) {
        pass(path, w, k, moments[k]!, emf, scatter);
      }
      const ln = Math.log(along.likelihood);
      const at = w * NODES + i;
      table[at] = ln;
      if (i > FIRST && i <= FINE_FROM) between(table, at - COARSE, at);
      if (ln > most) most = ln;
      // Past the peak and down to what misread values leave: no level beyond differs.
      flat = ln < most - DOWN && Math.abs(ln - table[at - 1]!) < 0.01 ? flat + 1 : 0;
      if (flat === 3) {
        table.fill(ln, at + 1, (w + 1) * NODES);
        break;
      }
    }
    table.fill(table[w * NODES + FIRST]!, w * NODES, w * NODES + FIRST);
  }
  return table;
}

/** Fills the nodes between two with what lies between their values. */
function between(table: Float64Array, low: number, high: number): void {
  for (let i = low + 1; i < high; i++)
    table[i] = table[low]! + ((table[high]! - table[low]!) * (i - low)) / (high - low);
}

const wholeError = ({ error, modes }: PathSupply, w: number): number =>
  Math.sqrt(modes.reduce((sum, mode) => sum + mode[w]! ** 2, error[w]! ** 2));

function pass(
  path: PathValues,
  w: number,
  k: number,
  { mean, variance }: ContactMoments,
  emf: number,
  scatter: number,
): void {
  along.series += path.wires[k]! + mean[w]!;
  along.variance += variance[w]! + (scatter * mean[w]!) ** 2;
  takeIn(path, w, k, emf, along);
}
