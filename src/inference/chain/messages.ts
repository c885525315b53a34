import { RowStore } from "../../numerics/row-store.ts";
import { type ContactKernel, pullBack } from "./contact-kernel.ts";
import type { PointLikelihoods } from "./point-likelihoods.ts";
import { type ChainShape, statesOf, suffixAfter } from "./shape.ts";

/**
 * The backward messages of one circuit (the backward recursion of Rabiner 1989, section III.A).
 *
 * With `t_i` the contact resistance up to point i and q the suffix behind link i, `g_i(t, q)` is the
 * likelihood of all readings from point i on, given t_i = t, and `h_i` the same where an
 * intermittent contact stands in front of point i. With l_i the readings of point i, l~_i the same
 * in front of which a contact comes and goes, o_i the readings from i on behind an open contact, n =
 * i + 1, and the chances of contact n given its body:
 *
 *     g_i = l_i  [ P(sound) K_s g_n + P(fouled) K_f g_n + P(open) o_n + P(intermittent) K_s h_n ]
 *     h_i = l~_i [ (P(sound) + P(intermittent)) K_s h_n + P(fouled) K_f h_n + P(open) o_n ]
 *
 * behind the last link the brackets are 1, or `end`. The likelihood of the circuit is the first
 * bracket at t = 0. Without h, intermittent contacts count as sound. Each step is scaled to a
 * largest value of 1; `logScale` keeps what was taken out.
 */
export interface Messages {
  readonly logScale: number;
  /** Likelihood of all readings, by configuration, times exp(-logScale). */
  readonly likelihood: Float64Array;
  /** By link, by suffix, a row of the mesh's size (of `widthAt`, where pulled back). */
  readonly g: readonly Float64Array[];
  readonly soundG: readonly Float64Array[];
  readonly fouledG: readonly Float64Array[];
  /** Empty where intermittent contacts count as sound. */
  readonly h: readonly Float64Array[];
  readonly soundH: readonly Float64Array[];
  readonly fouledH: readonly Float64Array[];
  /** `o_i`, scaled like g_i. */
  readonly open: Float64Array;
  /** What each link's scaling took out, of g_i and all behind. */
  readonly logScales: Float64Array;
}

/** The kernels of one circuit's contacts, by link. */
export interface ChainKernels {
  readonly sound: readonly ContactKernel[];
  readonly fouled: readonly ContactKernel[];
}

/** A chain that ends behind `link`, with these values in place of the last bracket's 1. */
export interface ChainEnd {
  readonly link: number;
  /** By suffix, a row of the mesh's size. */
  readonly rows: Float64Array;
  /** The value for paths that are open up to there. */
  readonly ifOpen: number;
}

export function backward(
  shape: ChainShape,
  kernels: ChainKernels,
  points: PointLikelihoods,
  size: number,
  end: ChainEnd | null = null,
): Messages {
  const count = shape.links.length;
  const shaky = points.shaky !== null;
  const suffixes = shape.links.reduce((sum, link) => sum + link.suffixes, 0);
  const store = new RowStore(suffixes * size * (shaky ? 6 : 3));
  const rowsOf = (link: number): Float64Array => store.row(shape.links[link]!.suffixes * size);
  const none: Float64Array = new Float64Array(0);
  const g = shape.links.map((_, i) => rowsOf(i));
  const soundG = shape.links.map(() => none);
  const fouledG = shape.links.map(() => none);
  const h = shape.links.map((_, i) => (shaky ? rowsOf(i) : none));
  const soundH = shape.links.map(() => none);
  const fouledH = shape.links.map(() => none);
  const open = new Float64Array(count);
  const logScales = new Float64Array(count);
  let logScale = 0;
  const messages = { logScale, likelihood: none, g, soundG, fouledG, h, soundH, fouledH, open };
  const last = end?.link ?? count - 1;
  for (let i = last; i >= 0; i--) {
    const { suffixes } = shape.links[i]!;
    const ended = i === last ? end : null;
    open[i] = points.open[i]! * (i < last ? open[i + 1]! : (ended?.ifOpen ?? 1));
    let most = open[i]!;
    for (let q = 0; q < suffixes; q++) {
      const at = q * size;
      if (i < last) bracket(shape, messages, i + 1, q, size, g[i]!, at, shaky ? h[i]! : null);
      else fillEnd(ended, at, size, g[i]!, shaky ? h[i]! : null);
      for (let m = 0; m < size; m++) {
        const value = g[i]![at + m]! * points.plain[i * size + m]!;
        g[i]![at + m] = value;
        if (value > most) most = value;
        if (!shaky) continue;
        const other = h[i]![at + m]! * points.shaky![i * size + m]!;
        h[i]![at + m] = other;
        if (other > most) most = other;
      }
    }
    if (!(most > 0)) most = 1;
    logScale += Math.log(most);
    logScales[i] = logScale;
    open[i]! /= most;
    for (const rows of [g[i]!, h[i]!]) for (let m = 0; m < rows.length; m++) rows[m]! /= most;
    soundG[i] = pulledRows(kernels.sound[i]!, g[i]!, i, size, store);
    fouledG[i] = pulledRows(kernels.fouled[i]!, g[i]!, i, size, store);
    if (!shaky) continue;
    soundH[i] = pulledRows(kernels.sound[i]!, h[i]!, i, size, store);
    fouledH[i] = pulledRows(kernels.fouled[i]!, h[i]!, i, size, store);
  }
  return { logScales, ...messages, logScale, likelihood: atOrigin(shape, messages, shaky) };
}

function fillEnd(
  end: ChainEnd | null,
  at: number,
  size: number,
  g: Float64Array,
  h: Float64Array | null,
): void {
  for (const rows of h === null ? [g] : [g, h]) {
    if (end === null) rows.fill(1, at, at + size);
    else rows.set(end.rows.subarray(at, at + size), at);
  }
}

/** In front of the first contact a path has one resistance only, t = 0: rows are one value wide. */
export const widthAt = (link: number, size: number): number => (link === 0 ? 1 : size);

/**
 * A row for each suffix pulled back over the contact of link `i`; at the first link to t = 0 alone.
 */
export function pulledRows(
  kernel: ContactKernel,
  rows: Float64Array,
  i: number,
  size: number,
  store: RowStore,
): Float64Array {
  const suffixes = rows.length / size;
  const to = store.row(suffixes * widthAt(i, size));
  for (let q = 0; q < suffixes; q++) {
    if (i > 0) pullBack(kernel, rows, q * size, to, q * size);
    else for (let m = 0; m < size; m++) to[q]! += kernel.origin[m]! * rows[q * size + m]!;
  }
  return to;
}

type Rows = Pick<Messages, "soundG" | "fouledG" | "soundH" | "fouledH" | "open">;

/** Writes both brackets of link `n`'s contact for the suffix q in front of it. */
function bracket(
  shape: ChainShape,
  rows: Rows,
  n: number,
  q: number,
  size: number,
  g: Float64Array,
  at: number,
  h: Float64Array | null,
): void {
  const link = shape.links[n]!;
  const { sound, fouled, open, cable, intermittent } = statesOf(link, q);
  const from = suffixAfter(link, q) * size;
  const dead = (open + cable) * rows.open[n]!;
  const [soundG, fouledG] = [rows.soundG[n]!, rows.fouledG[n]!];
  const steady = h === null ? sound + intermittent : sound;
  for (let m = 0; m < size; m++) {
    g[at + m] = steady * soundG[from + m]! + fouled * fouledG[from + m]! + dead;
  }
  if (h === null) return;
  const [soundH, fouledH] = [rows.soundH[n]!, rows.fouledH[n]!];
  for (let m = 0; m < size; m++) {
    g[at + m]! += intermittent * soundH[from + m]!;
    h[at + m] = (sound + intermittent) * soundH[from + m]! + fouled * fouledH[from + m]! + dead;
  }
}

/** The first bracket at t = 0, by configuration. */
export function atOrigin(shape: ChainShape, rows: Rows, shaky: boolean): Float64Array {
  const likelihood = new Float64Array(shape.configurations);
  const first = shape.links[0]!;
  for (let c = 0; c < shape.configurations; c++) {
    const { sound, fouled, open, cable, intermittent } = statesOf(first, c);
    const at = suffixAfter(first, c);
    const steady = shaky ? sound : sound + intermittent;
    likelihood[c] =
      steady * rows.soundG[0]![at]! +
      fouled * rows.fouledG[0]![at]! +
      (open + cable) * rows.open[0]! +
      (shaky ? intermittent * rows.soundH[0]![at]! : 0);
  }
  return likelihood;
}
