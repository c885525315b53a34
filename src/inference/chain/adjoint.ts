import { RowStore } from "../../numerics/row-store.ts";
import { type ContactKernel, pushForward } from "./contact-kernel.ts";
import { type ChainKernels, type Messages, widthAt } from "./messages.ts";
import type { PointLikelihoods } from "./point-likelihoods.ts";
import { type ChainShape, type ShapedLink, statesOf, suffixAfter } from "./shape.ts";

/** Probability of a contact's states, in this order. */
export const STATES = ["sound", "fouled", "open", "cable", "intermittent"] as const;
export const [SOUND, FOULED, OPEN, CABLE, INTERMITTENT] = [0, 1, 2, 3, 4] as const;

/** What the way back through the messages tells, link by link. */
export interface ChainVisitor {
  /** Adds to the states of the link's contact, `STATES` in order, those behind an open one too. */
  states(link: number, probabilities: Float64Array): void;
  /**
   * Probability by node of the resistance up to the link's point: no intermittent contact in front,
   * one in front, and (`dead`) an open contact in front or here.
   */
  point(link: number, steady: Float64Array, shaky: Float64Array | null, dead: number): void;
  /** Where the chain ends in front of further links: probability by suffix, a row by node. */
  end?(probabilities: Float64Array): void;
  /**
   * For the resistance of the contact, while its readings count: for each suffix a row of weights
   * in front of it (one node at the first link, t = 0), by the state that it is in; `behind` are the
   * messages behind it. The density of r while sound is p_s(r) sum of weight(t) g(t + r).
   */
  contact?(link: number, weights: ContactWeights): void;
}

/** Weights in front of a contact, by suffix and node. */
export interface ContactWeights {
  readonly suffixes: number;
  /** Sound and no intermittent contact in front: goes with g. */
  readonly sound: Float64Array;
  readonly fouled: Float64Array;
  /** Sound behind an intermittent contact, or intermittent: goes with h. */
  readonly shakySound: Float64Array | null;
  readonly shakyFouled: Float64Array | null;
  /** Sound and fouled behind an open contact: their resistance is as the prior has it. */
  readonly unseenSound: number;
  readonly unseenFouled: number;
}

/**
 * The way from the timer out, by the derivative of the likelihood (reverse accumulation): with
 * `weights[c]` = P(configuration c | everything) / likelihood(c), every product below is a posterior
 * probability. Since weights enter at the timer, only suffixes are carried, never prefixes.
 *
 * (The forward variables of Rabiner 1989, with the configurations summed out on the way.)
 */
export function wayOut(
  shape: ChainShape,
  kernels: ChainKernels,
  points: PointLikelihoods,
  messages: Messages,
  size: number,
  weights: Float64Array,
  visitor: ChainVisitor,
  last = shape.links.length - 1,
): void {
  const none: Float64Array = new Float64Array(0);
  const shaky = points.shaky !== null;
  const rows = shape.links.reduce((sum, { suffixes }) => sum + 3 * suffixes + 1, 0);
  const store = new RowStore(rows * size * (shaky ? 2 : 1));
  let front: Front = {
    suffixes: shape.configurations,
    steady: weights,
    shaky: shaky ? new Float64Array(shape.configurations) : none,
    dead: new Float64Array(shape.configurations),
    deadShaky: new Float64Array(shape.configurations),
  };
  for (let n = 0; n < shape.links.length; n++) {
    const link = shape.links[n]!;
    const width = widthAt(n, size);
    const states = new Float64Array(STATES.length);
    const after = behindOpen(link, front, states);
    const { unseenSound, unseenFouled } = after;
    if (n > last) {
      visitor.states(n, states);
      front = { suffixes: link.suffixes, steady: none, shaky: none, ...after.dead };
      continue;
    }
    const parts = splitStates(link, front, messages, n, width, store, states, after.dead);
    visitor.states(n, states);
    visitor.contact?.(n, { unseenSound, unseenFouled, ...parts });
    const next: Front = {
      suffixes: link.suffixes,
      steady: store.row(link.suffixes * size),
      shaky: shaky ? store.row(link.suffixes * size) : none,
      ...after.dead,
    };
    const [sound, fouled] = [kernels.sound[n]!, kernels.fouled[n]!];
    push(sound, parts.sound, n, link.suffixes, size, next.steady);
    push(fouled, parts.fouled, n, link.suffixes, size, next.steady);
    if (parts.shakySound !== null)
      push(sound, parts.shakySound, n, link.suffixes, size, next.shaky);
    if (parts.shakyFouled !== null) {
      push(fouled, parts.shakyFouled, n, link.suffixes, size, next.shaky);
    }
    if (n === last && last + 1 < shape.links.length)
      visitor.end?.(next.steady.map((weight, at) => weight * messages.g[n]![at]!));
    atPoint(points, messages, n, size, next, store, visitor);
    front = next;
  }
}

/** Weights on the way, by suffix of the contact ahead; rows by node. */
interface Front {
  readonly suffixes: number;
  /** Weight of the bracket ahead, without and with an intermittent contact in front. */
  readonly steady: Float64Array;
  readonly shaky: Float64Array;
  /** Probability that the path is open already, without and with an intermittent one. */
  readonly dead: Float64Array;
  readonly deadShaky: Float64Array;
}

type Dead = Pick<Front, "dead" | "deadShaky">;

/** The states of a contact behind an open one: as the prior has them, given the body. */
function behindOpen(
  link: ShapedLink,
  front: Front,
  states: Float64Array,
): { dead: Dead } & Pick<ContactWeights, "unseenSound" | "unseenFouled"> {
  const dead = new Float64Array(link.suffixes);
  const deadShaky = new Float64Array(link.suffixes);
  for (let before = 0; before < front.suffixes; before++) {
    const { sound, fouled, open, cable, intermittent } = statesOf(link, before);
    const [steady, shaky] = [front.dead[before]!, front.deadShaky[before]!];
    const behind = suffixAfter(link, before);
    states[SOUND]! += steady * sound + shaky * (sound + intermittent);
    states[FOULED]! += (steady + shaky) * fouled;
    states[OPEN]! += (steady + shaky) * open;
    states[CABLE]! += (steady + shaky) * cable;
    states[INTERMITTENT]! += steady * intermittent;
    dead[behind]! += steady * (1 - intermittent);
    deadShaky[behind]! += shaky + steady * intermittent;
  }
  const unseenSound = states[SOUND]! + states[INTERMITTENT]!;
  return { dead: { dead, deadShaky }, unseenSound, unseenFouled: states[FOULED]! };
}

type Parts = Omit<ContactWeights, "unseenSound" | "unseenFouled">;

/**
 * Splits the weights in front of a contact by its state, its own body summed out; adds to `states`,
 * and to `dead` what this contact opens.
 */
function splitStates(
  link: ShapedLink,
  front: Front,
  messages: Messages,
  n: number,
  width: number,
  store: RowStore,
  states: Float64Array,
  { dead, deadShaky }: Dead,
): Parts {
  const shaky = front.shaky.length > 0;
  const rows = link.suffixes * width;
  const sound = store.row(rows);
  const fouled = store.row(rows);
  const shakySound = shaky ? store.row(rows) : null;
  const shakyFouled = shaky ? store.row(rows) : null;
  const [soundG, fouledG] = [messages.soundG[n]!, messages.fouledG[n]!];
  const [soundH, fouledH] = [messages.soundH[n]!, messages.fouledH[n]!];
  for (let before = 0; before < front.suffixes; before++) {
    const chances = statesOf(link, before);
    const behind = suffixAfter(link, before);
    const [to, from] = [behind * width, before * width];
    const steadySound = shaky ? chances.sound : chances.sound + chances.intermittent;
    const shakyChance = chances.sound + chances.intermittent;
    let alive = 0;
    let aliveShaky = 0;
    for (let m = 0; m < width; m++) {
      const weight = front.steady[from + m]!;
      alive += weight;
      sound[to + m]! += weight * steadySound;
      fouled[to + m]! += weight * chances.fouled;
      states[SOUND]! += weight * steadySound * soundG[to + m]!;
      states[FOULED]! += weight * chances.fouled * fouledG[to + m]!;
      if (shakySound === null) continue;
      const other = front.shaky[from + m]!;
      aliveShaky += other;
      shakySound[to + m]! += weight * chances.intermittent + other * shakyChance;
      shakyFouled![to + m]! += other * chances.fouled;
      states[SOUND]! += other * shakyChance * soundH[to + m]!;
      states[FOULED]! += other * chances.fouled * fouledH[to + m]!;
      states[INTERMITTENT]! += weight * chances.intermittent * soundH[to + m]!;
    }
    const open = messages.open[n]!;
    states[OPEN]! += (alive + aliveShaky) * open * chances.open;
    states[CABLE]! += (alive + aliveShaky) * open * chances.cable;
    dead[behind]! += alive * open * (chances.open + chances.cable);
    deadShaky[behind]! += aliveShaky * open * (chances.open + chances.cable);
  }
  return { suffixes: link.suffixes, sound, fouled, shakySound, shakyFouled };
}

/** Carries weights over a contact, into rows that add up. */
export function push(
  kernel: ContactKernel,
  from: Float64Array,
  link: number,
  suffixes: number,
  size: number,
  to: Float64Array,
): void {
  for (let q = 0; q < suffixes; q++) {
    if (link > 0) pushForward(kernel, from, q * size, to, q * size);
    else for (let m = 0; m < size; m++) to[q * size + m]! += from[q]! * kernel.origin[m]!;
  }
}

/** Tells of the point, and lays the readings' likelihood on the weights: what is ahead is a bracket. */
function atPoint(
  points: PointLikelihoods,
  messages: Messages,
  link: number,
  size: number,
  { suffixes, steady, shaky, dead, deadShaky }: Front,
  store: RowStore,
  visitor: ChainVisitor,
): void {
  const [g, h] = [messages.g[link]!, messages.h[link]!];
  const steadyAt = store.row(size);
  const shakyAt = points.shaky === null ? null : store.row(size);
  let opened = 0;
  for (let q = 0; q < suffixes; q++) {
    opened += dead[q]! + deadShaky[q]!;
    for (let m = 0; m < size; m++) {
      const at = q * size + m;
      steadyAt[m]! += steady[at]! * g[at]!;
      if (shakyAt !== null) shakyAt[m]! += shaky[at]! * h[at]!;
    }
  }
  visitor.point(link, steadyAt, shakyAt, opened);
  const down = Math.exp((messages.logScales[link + 1] ?? 0) - messages.logScales[link]!);
  for (let q = 0; q < suffixes; q++) {
    for (let m = 0; m < size; m++) {
      const at = q * size + m;
      steady[at]! *= points.plain[link * size + m]! * down;
      if (points.shaky !== null) shaky[at]! *= points.shaky[link * size + m]! * down;
    }
  }
}
