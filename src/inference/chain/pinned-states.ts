import { RowStore } from "../../numerics/row-store.ts";
import { push } from "./adjoint.ts";
import { type ChainKernels, type Messages, widthAt } from "./messages.ts";
import type { PointLikelihoods } from "./point-likelihoods.ts";
import { type ChainShape, type ShapedLink, statesOf, suffixAfter } from "./shape.ts";

/** Ways to be faulty: fouled, open (in the connector or the cable), intermittent. */
const FAULTS = 3;
/** Sound, the faults, and the mean of these four by the prior. */
const ALL = 2 + FAULTS;
const MEAN = 1 + FAULTS;

/**
 * How likely all readings are with contacts pinned to a state, whatever was believed of those
 * contacts: up to one factor, and the contacts further out as the prior has them.
 */
export interface PinnedStates {
  /** Every contact sound. */
  readonly sound: number;
  /** By link: contacts in front of it sound, it fouled, open, intermittent. */
  readonly first: readonly Float64Array[];
  /**
   * By link, a fouled contact somewhere in front of it: it sound, fouled, open, intermittent; and last,
   * the mean of these by its prior.
   */
  readonly steady: readonly Float64Array[];
  /** The same with an intermittent contact in front. (Behind an open one nothing is seen.) */
  readonly shaky: readonly Float64Array[];
}

/** Nothing added yet, for so many links. */
export const nothingPinned = (links: number): PinnedStates => ({
  sound: 0,
  first: Array.from({ length: links }, () => new Float64Array(FAULTS)),
  steady: Array.from({ length: links }, () => new Float64Array(ALL)),
  shaky: Array.from({ length: links }, () => new Float64Array(ALL)),
});

/** A sum of both, the second times `factor`. */
export function addPinned(a: PinnedStates, b: PinnedStates, factor: number): PinnedStates {
  const rows = (of: "first" | "steady" | "shaky"): readonly Float64Array[] =>
    a[of].map((own, k) => own.map((value, x) => value + factor * b[of][k]![x]!));
  const sound = a.sound + factor * b.sound;
  return { sound, first: rows("first"), steady: rows("steady"), shaky: rows("shaky") };
}

/**
 * As `wayOut`, but what is pinned is not weighed by its own chance. With the weights and messages
 * there, K_s and K_f a contact's kernels, p its chances given its body:
 *
 *     a_0 = weights   a_(n+1) = l_n transpose(K_s) a_n                              all sound in front
 *     f_0 = 0         f_(n+1) = l_n [transpose(K_s) p_s f_n + transpose(K_f) p_f (a_n + f_n)]
 *     h_0 = 0         h_(n+1) = l~_n [transpose(K_s) (p_i (a_n + f_n) + (p_s + p_i) h_n)
 *                                     + transpose(K_f) p_f h_n]
 *
 *     first_n(x) = sum a_n K_x g_n,   steady_n(x) = sum f_n K_x g_n,   shaky_n(x) = sum h_n K_x h_n
 */
export function pinnedStates(
  { links }: ChainShape,
  kernels: ChainKernels,
  points: PointLikelihoods,
  messages: Messages,
  size: number,
  weights: Float64Array,
  last: number,
): PinnedStates {
  const found = nothingPinned(links.length);
  const shaky = points.shaky !== null;
  const none = new Float64Array(weights.length);
  let front: Fronts = { sound: weights, steady: none, shaky: shaky ? none : null };
  const rows = links.reduce((sum, { suffixes }) => sum + suffixes, 0);
  const store = new RowStore(rows * size * (shaky ? 8 : 5));
  let masses = { sound: 0, steady: 0, shaky: 0 };
  for (const [n, link] of links.entries()) {
    if (n > last) {
      found.first[n]!.fill(masses.sound);
      found.steady[n]!.fill(masses.steady);
      found.shaky[n]!.fill(masses.shaky);
      continue;
    }
    const at = { link, messages, n, width: widthAt(n, size) };
    const sound = pinnedAt(at, front.sound, false);
    found.first[n]!.set(sound.subarray(1, 1 + FAULTS));
    const steady = pinnedAt(at, front.steady, false);
    found.steady[n]!.set(steady);
    if (front.shaky !== null) found.shaky[n]!.set(pinnedAt(at, front.shaky, true));
    masses = { sound: sound[0]!, steady: steady[MEAN]!, shaky: found.shaky[n]![MEAN]! };
    if (n < last) front = carriedOn(link, kernels, points, messages, n, size, front, store);
  }
  return { ...found, sound: masses.sound };
}

/** Weights in front of a contact, by suffix, a row by node. */
interface Fronts {
  readonly sound: Float64Array;
  readonly steady: Float64Array;
  /** Null where intermittent contacts count as sound. */
  readonly shaky: Float64Array | null;
}

interface Place {
  readonly link: ShapedLink;
  readonly messages: Messages;
  readonly n: number;
  readonly width: number;
}

/** What the weights in front make of each state of a contact: sound, fouled, open, intermittent. */
function pinnedAt(
  { link, messages, n, width }: Place,
  front: Float64Array,
  isShaky: boolean,
): Float64Array {
  const mayBeShaky = messages.soundH[n]!.length > 0;
  const [sound, fouled] = isShaky
    ? [messages.soundH[n]!, messages.fouledH[n]!]
    : [messages.soundG[n]!, messages.fouledG[n]!];
  const intermittent = mayBeShaky ? messages.soundH[n]! : messages.soundG[n]!;
  const all = new Float64Array(ALL);
  for (let before = 0; before * width < front.length; before++) {
    const to = suffixAfter(link, before) * width;
    let [ifSound, ifFouled, weights, ifIntermittent] = [0, 0, 0, 0];
    for (let m = 0; m < width; m++) {
      const weight = front[before * width + m]!;
      ifSound += weight * sound[to + m]!;
      ifFouled += weight * fouled[to + m]!;
      weights += weight;
      ifIntermittent += weight * intermittent[to + m]!;
    }
    const ifOpen = weights * messages.open[n]!;
    const p = statesOf(link, before);
    all[0]! += ifSound;
    all[1]! += ifFouled;
    all[2]! += ifOpen;
    all[3]! += ifIntermittent;
    all[MEAN]! += ifSound * p.sound + ifFouled * p.fouled;
    all[MEAN]! += ifOpen * (p.open + p.cable) + ifIntermittent * p.intermittent;
  }
  return all;
}

/** Carries the weights over a contact, and lays the readings of its point on them. */
function carriedOn(
  link: ShapedLink,
  kernels: ChainKernels,
  points: PointLikelihoods,
  messages: Messages,
  n: number,
  size: number,
  front: Fronts,
  store: RowStore,
): Fronts {
  const width = widthAt(n, size);
  const isShaky = front.shaky !== null;
  const rows = (): Float64Array => store.row(link.suffixes * width);
  const [sound, steadySound, steadyFouled] = [rows(), rows(), rows()];
  const [shakySound, shakyFouled] = isShaky ? [rows(), rows()] : [null, null];
  for (let before = 0; before * width < front.sound.length; before++) {
    const p = statesOf(link, before);
    const to = suffixAfter(link, before) * width;
    const stays = isShaky ? p.sound : p.sound + p.intermittent;
    for (let m = 0; m < width; m++) {
      const at = before * width + m;
      const a = front.sound[at]!;
      const f = front.steady[at]!;
      sound[to + m]! += a;
      steadySound[to + m]! += stays * f;
      steadyFouled[to + m]! += p.fouled * (a + f);
      if (shakySound === null) continue;
      const h = front.shaky![at]!;
      shakySound[to + m]! += p.intermittent * (a + f) + (p.sound + p.intermittent) * h;
      shakyFouled![to + m]! += p.fouled * h;
    }
  }
  const down = Math.exp((messages.logScales[n + 1] ?? 0) - messages.logScales[n]!);
  const over = (own: Float64Array, bad: Float64Array | null, values: Float64Array) => {
    const next = store.row(link.suffixes * size);
    push(kernels.sound[n]!, own, n, link.suffixes, size, next);
    if (bad !== null) push(kernels.fouled[n]!, bad, n, link.suffixes, size, next);
    for (let q = 0; q < link.suffixes; q++) {
      for (let m = 0; m < size; m++) next[q * size + m]! *= values[n * size + m]! * down;
    }
    return next;
  };
  return {
    sound: over(sound, null, points.plain),
    steady: over(steadySound, steadyFouled, points.plain),
    shaky: shakySound === null ? null : over(shakySound, shakyFouled, points.shaky!),
  };
}
