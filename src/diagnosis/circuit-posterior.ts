import type { CircuitMessages, CircuitModel } from "./circuit-model.ts";
import { type ContactKernel, pushForward } from "./contact-kernel.ts";
import { NODES } from "./mesh.ts";

/** One circuit at one node of the EMF's integral. */
export interface CircuitNode {
  readonly weight: number;
  readonly messages: CircuitMessages;
  /** P(body configuration | all readings of the walk, EMF). */
  readonly bodies: Float64Array;
}

/**
 * Everything about one contact that its posterior needs, the EMF and the bodies summed out.
 *
 * `sound` and `fouled` are couplings, row-major [node of t before][node of t behind] (one row, for
 * t = 0, at the first link): the density of the contact's resistance r in that state is
 * p(r) * sum over j, m of coupling[j][m] * basis_m(t_j + r). They may be longer than that.
 */
export interface ContactPosterior {
  readonly states: { readonly sound: number; readonly fouled: number; readonly open: number };
  readonly sound: Float64Array;
  readonly fouled: Float64Array;
  /** Probability that the path is open before this contact and it is sound, or fouled. */
  readonly unseen: { readonly sound: number; readonly fouled: number };
  /** Probability by node of t before the contact, one entry at t = 0; the rest to 1 is open. */
  readonly before: Float64Array;
}

/** A row that holds less of its node's weight than this adds nothing that a quantile shows. */
const COUPLED = 1e-5;

/** A node, or a body configuration, of less weight may be left out of the walk along the circuit. */
const COUNTS = 1e-8;

/** What one link needs and the next overwrites, grown to the largest mesh so far. */
interface Workspace {
  readonly soundCoupling: Float64Array;
  readonly fouledCoupling: Float64Array;
  /** Rows of a value for every node of the mesh. */
  readonly sound: Float64Array;
  readonly fouled: Float64Array;
  readonly pulledSound: Float64Array;
  readonly pulledFouled: Float64Array;
  readonly open: Float64Array;
  readonly before: Float64Array;
}

let workspace: Workspace | null = null;

function workspaceFor(size: number): Workspace {
  if (workspace !== null && workspace.before.length >= size) return workspace;
  const row = () => new Float64Array(size);
  workspace = {
    soundCoupling: new Float64Array(size * size),
    fouledCoupling: new Float64Array(size * size),
    ...{ sound: row(), fouled: row(), pulledSound: row(), pulledFouled: row() },
    ...{ open: row(), before: row() },
  };
  return workspace;
}

/** The forward messages of one circuit at one EMF, as far as the walk along it has come. */
interface Front {
  /** Weights of t before the link, [prefix configuration][node]; unused at the first link. */
  readonly alpha: Float64Array;
  /** Weight of "already open", by prefix configuration. */
  readonly open: Float64Array;
  /** Panels of the mesh on which alpha still counts, given the readings behind. */
  panels: readonly number[];
  /** The bodies no longer matter one by one: there is one configuration left. */
  folded: boolean;
}

interface Accumulator {
  sound: number;
  fouled: number;
  open: number;
  unseenSound: number;
  unseenFouled: number;
  readonly before: Float64Array;
}

/** One link at one node of the EMF. */
interface Step {
  readonly model: CircuitModel;
  readonly node: CircuitNode;
  readonly front: Front;
  readonly i: number;
  readonly size: number;
  /** Configurations before the link and behind it, and how many states its own body has. */
  readonly prefixes: number;
  readonly suffixes: number;
  readonly bodies: 1 | 2;
  /** Each configuration's posterior weight over its unnormalised likelihood. */
  readonly omega: Float64Array;
}

/**
 * Walks forward along one circuit at every EMF node and hands each contact's posterior to `visit`,
 * link by link. Couplings are handed out in buffers that the next link overwrites.
 *
 * Returns P(sound | configuration, EMF), by node, by link, by configuration, for shared links.
 * With `coupled` false, couplings are left as they are: states alone are wanted.
 */
export function circuitPosterior(
  model: CircuitModel,
  nodes: readonly CircuitNode[],
  visit: (link: number, posterior: ContactPosterior) => void,
  coupled = true,
): readonly (readonly Float64Array[])[] {
  const size = model.mesh.t.length;
  const { links, configurations } = model.prior;
  const soundGiven: Float64Array[][] = nodes.map(() => []);
  const fronts = nodes.map(
    (): Front => ({
      alpha: new Float64Array(configurations * size),
      open: new Float64Array(configurations),
      panels: [],
      folded: configurations === 1,
    }),
  );
  const work = workspaceFor(size);
  for (let i = 0; i < links.length; i++) {
    if (coupled) {
      work.soundCoupling.fill(0, 0, i === 0 ? size : size * size);
      work.fouledCoupling.fill(0, 0, i === 0 ? size : size * size);
    }
    const sums: Accumulator = {
      sound: 0,
      fouled: 0,
      open: 0,
      unseenSound: 0,
      unseenFouled: 0,
      before: new Float64Array(i === 0 ? 1 : size),
    };
    for (let n = 0; n < nodes.length; n++) {
      const step = stepAt(model, nodes[n]!, fronts[n]!, i);
      soundGiven[n]!.push(addStates(step, sums));
      addNodes(step, work, sums, coupled);
      if (i + 1 < links.length) advance(step, work);
    }
    visit(i, {
      states: { sound: sums.sound, fouled: sums.fouled, open: sums.open },
      sound: work.soundCoupling,
      fouled: work.fouledCoupling,
      unseen: { sound: sums.unseenSound, fouled: sums.unseenFouled },
      before: sums.before,
    });
  }
  return soundGiven;
}

function stepAt(model: CircuitModel, node: CircuitNode, front: Front, i: number): Step {
  const { prior, mesh } = model;
  const prefixes = front.folded ? 1 : 1 << prior.sharedBefore[i]!;
  const suffixes = prior.suffixes[i]!;
  const bodies = prior.links[i]!.shared ? 2 : 1;
  const omega = new Float64Array(prefixes * bodies * suffixes);
  return { model, node, front, i, size: mesh.t.length, prefixes, suffixes, bodies, omega };
}

/** The configuration of the whole chain with prefix `p`, own body and suffix `q`. */
const whole = ({ prefixes, bodies }: Step, p: number, body: number, q: number): number =>
  p + prefixes * (body + bodies * q);

/**
 * Adds the link's states at one EMF node to the sums, and weighs the configurations: sets `omega`.
 * Returns P(sound | configuration).
 */
function addStates(step: Step, sums: Accumulator): Float64Array {
  const { model, node, front, i, size, prefixes, suffixes, bodies, omega } = step;
  const { rows, open, soundOrigin, fouledOrigin } = node.messages;
  const { soundG, fouledG } = model.prior.rows[i]!;
  const link = model.prior.links[i]!;
  const soundOf = new Float64Array(omega.length);
  const tail = open[i]!;
  for (let p = 0; p < prefixes; p++) {
    const living = alive(step, p);
    const dead = front.open[p]! * tail;
    for (let q = 0; q < suffixes; q++) {
      if (!counts(step, p, q)) continue;
      const ifSound =
        i === 0 ? soundOrigin[q]! : dot(front.alpha, p * size, rows, (soundG + q) * size, size);
      const ifFouled =
        i === 0 ? fouledOrigin[q]! : dot(front.alpha, p * size, rows, (fouledG + q) * size, size);
      for (let own = 0; own < bodies; own++) {
        const body = own as 0 | 1;
        const c = whole(step, p, body, q);
        const posterior = front.folded ? 1 : node.bodies[c]!;
        if (posterior < COUNTS) continue;
        const sound = link.sound[body] * ifSound;
        const fouled = link.fouled[body] * ifFouled;
        const opened = link.open[body] * living * tail;
        const total = sound + fouled + opened + dead;
        if (!(total > 0)) continue;
        const weight = (node.weight * posterior) / total;
        omega[c] = weight;
        soundOf[c] = (sound + dead * link.sound[body]) / total;
        sums.sound += weight * (sound + dead * link.sound[body]);
        sums.fouled += weight * (fouled + dead * link.fouled[body]);
        sums.open += weight * (opened + dead * link.open[body]);
        sums.unseenSound += weight * dead * link.sound[body];
        sums.unseenFouled += weight * dead * link.fouled[body];
      }
    }
  }
  return soundOf;
}

/** Whether a configuration with this prefix and suffix has weight. */
function counts(step: Step, p: number, q: number): boolean {
  if (step.front.folded) return true;
  for (let body = 0; body < step.bodies; body++) {
    if (step.node.bodies[whole(step, p, body, q)]! >= COUNTS) return true;
  }
  return false;
}

/** P(not open before the link), unnormalised. */
function alive({ front, i, size }: Step, p: number): number {
  if (i === 0) return 1;
  let sum = 0;
  for (let at = p * size; at < (p + 1) * size; at++) sum += front.alpha[at]!;
  return sum;
}

/** sum over a row of left * right. */
function dot(
  left: Float64Array,
  leftAt: number,
  right: Float64Array,
  rightAt: number,
  size: number,
): number {
  let sum = 0;
  for (let m = 0; m < size; m++) sum += left[leftAt + m]! * right[rightAt + m]!;
  return sum;
}

/** sum over the own body of a prefix with a suffix of omega * P(state | body). */
function weightOf(step: Step, p: number, q: number, states: readonly [number, number]): number {
  let weight = 0;
  for (let own = 0; own < step.bodies; own++) {
    const body = own as 0 | 1;
    weight += step.omega[whole(step, p, body, q)]! * states[body];
  }
  return weight;
}

/**
 * Adds to the sums the posterior weight of every node of t in front of the link, open paths left
 * out, and to the couplings the sum over configurations of weight * P(state | body) * alpha (outer)
 * g. Prefixes or suffixes are summed out first, whichever are more.
 */
function addNodes(step: Step, work: Workspace, sums: Accumulator, coupled: boolean): void {
  const { node, front, i, size, prefixes, suffixes } = step;
  if (i === 0) {
    addFirst(step, work, sums, coupled);
    return;
  }
  const { before } = work;
  before.fill(0, 0, size);
  if (prefixes <= suffixes) {
    for (let p = 0; p < prefixes; p++) addPrefix(step, work, p, coupled);
  } else {
    for (let q = 0; q < suffixes; q++) addSuffix(step, work, q, coupled);
  }
  for (let m = 0; m < size; m++) sums.before[m]! += before[m]!;
  front.panels = panelsThatCount(before, size, COUNTS * node.weight);
}

/** Every path starts at t = 0: one row. */
function addFirst(step: Step, work: Workspace, sums: Accumulator, coupled: boolean): void {
  const { model, node, i, size, suffixes } = step;
  const { rows, open, soundOrigin, fouledOrigin } = node.messages;
  const { g } = model.prior.rows[i]!;
  const link = model.prior.links[i]!;
  for (let q = 0; q < suffixes; q++) {
    const sound = weightOf(step, 0, q, link.sound);
    const fouled = weightOf(step, 0, q, link.fouled);
    const opened = weightOf(step, 0, q, link.open) * open[i]!;
    sums.before[0]! += sound * soundOrigin[q]! + fouled * fouledOrigin[q]! + opened;
    if (!coupled) continue;
    addScaled(work.soundCoupling, rows, (g + q) * size, sound, size);
    addScaled(work.fouledCoupling, rows, (g + q) * size, fouled, size);
  }
}

/** One prefix with all suffixes. */
function addPrefix(step: Step, work: Workspace, p: number, coupled: boolean): void {
  const { model, node, front, i, size, suffixes } = step;
  const { rows, open } = node.messages;
  const { g, soundG, fouledG } = model.prior.rows[i]!;
  const link = model.prior.links[i]!;
  const { sound, fouled, pulledSound, pulledFouled, before } = work;
  for (const row of [sound, fouled, pulledSound, pulledFouled]) row.fill(0, 0, size);
  let opened = 0;
  for (let q = 0; q < suffixes; q++) {
    const soundWeight = weightOf(step, p, q, link.sound);
    const fouledWeight = weightOf(step, p, q, link.fouled);
    opened += weightOf(step, p, q, link.open) * open[i]!;
    addScaled(pulledSound, rows, (soundG + q) * size, soundWeight, size);
    addScaled(pulledFouled, rows, (fouledG + q) * size, fouledWeight, size);
    if (!coupled) continue;
    addScaled(sound, rows, (g + q) * size, soundWeight, size);
    addScaled(fouled, rows, (g + q) * size, fouledWeight, size);
  }
  const at = p * size;
  for (let m = 0; m < size; m++) {
    before[m]! += front.alpha[at + m]! * (pulledSound[m]! + pulledFouled[m]! + opened);
  }
  if (!coupled) return;
  const least = COUPLED * node.weight;
  const { soundCoupling, fouledCoupling } = work;
  addOuter(soundCoupling, model.sound, front.alpha, at, sound, 0, pulledSound, 0, least);
  addOuter(fouledCoupling, model.fouled, front.alpha, at, fouled, 0, pulledFouled, 0, least);
}

/** One suffix with all prefixes. */
function addSuffix(step: Step, work: Workspace, q: number, coupled: boolean): void {
  const { model, node, front, i, size, prefixes } = step;
  const { rows } = node.messages;
  const rowsOf = model.prior.rows[i]!;
  const link = model.prior.links[i]!;
  const { sound, fouled, open, before } = work;
  for (const row of [sound, fouled, open]) row.fill(0, 0, size);
  for (let p = 0; p < prefixes; p++) {
    addScaled(sound, front.alpha, p * size, weightOf(step, p, q, link.sound), size);
    addScaled(fouled, front.alpha, p * size, weightOf(step, p, q, link.fouled), size);
    addScaled(open, front.alpha, p * size, weightOf(step, p, q, link.open), size);
  }
  const tail = node.messages.open[i]!;
  const g = (rowsOf.g + q) * size;
  const soundG = (rowsOf.soundG + q) * size;
  const fouledG = (rowsOf.fouledG + q) * size;
  for (let m = 0; m < size; m++) {
    before[m]! += sound[m]! * rows[soundG + m]! + fouled[m]! * rows[fouledG + m]! + open[m]! * tail;
  }
  if (!coupled) return;
  const least = COUPLED * node.weight;
  addOuter(work.soundCoupling, model.sound, sound, 0, rows, g, rows, soundG, least);
  addOuter(work.fouledCoupling, model.fouled, fouled, 0, rows, g, rows, fouledG, least);
}

/** Panels with a node of more weight than `least`. */
function panelsThatCount(before: Float64Array, size: number, least: number): readonly number[] {
  const panels: number[] = [];
  for (let first = 0; first < size; first += NODES) {
    let most = 0;
    for (let j = first; j < first + NODES; j++) most = Math.max(most, Math.abs(before[j]!));
    if (most > least) panels.push(first / NODES);
  }
  return panels;
}

function addScaled(
  to: Float64Array,
  from: Float64Array,
  at: number,
  weight: number,
  size: number,
): void {
  if (weight === 0) return;
  for (let m = 0; m < size; m++) to[m]! += weight * from[at + m]!;
}

/**
 * to += left (outer) right where the kernel reaches; rows that hold no probability, by what the
 * kernel makes of `right`, are left out.
 */
function addOuter(
  to: Float64Array,
  { reach }: ContactKernel,
  left: Float64Array,
  leftAt: number,
  right: Float64Array,
  rightAt: number,
  pulled: Float64Array,
  pulledAt: number,
  least: number,
): void {
  const size = reach.length * NODES;
  for (let j = 0; j < size; j++) {
    const weight = left[leftAt + j]!;
    if (Math.abs(weight * pulled[pulledAt + j]!) < least) continue;
    const panel = Math.floor(j / NODES);
    const base = j * size;
    const end = (panel + reach[panel]!) * NODES;
    for (let m = panel * NODES; m < end; m++) to[base + m]! += weight * right[rightAt + m]!;
  }
}

/** Carries the front over the link and the readings at its point. */
function advance(step: Step, work: Workspace): void {
  const { front, node, model, i, size } = step;
  const { sharedBefore, configurations } = model.prior;
  const last = !front.folded && 1 << sharedBefore[i + 1]! === configurations;
  const open = node.messages.pointOpen[i]!;
  const configured = last ? fold(step, work) : carryPrefixes(step, work);
  let most = 0;
  for (let p = 0; p < configured; p++) {
    front.open[p]! *= open;
    most = Math.max(most, front.open[p]!);
    for (let m = 0; m < size; m++) {
      const value = front.alpha[p * size + m]! * node.messages.rows[i * size + m]!;
      front.alpha[p * size + m] = value;
      if (value > most) most = value;
    }
  }
  for (let at = 0; at < configured * size; at++) front.alpha[at]! /= most;
  for (let p = 0; p < configured; p++) front.open[p]! /= most;
  front.folded ||= last;
}

/** Carries each prefix over the contact by itself, into both states of its body; returns how many. */
function carryPrefixes(step: Step, work: Workspace): number {
  const { front, model, i, size, prefixes, bodies } = step;
  const { sound, fouled } = work;
  const link = model.prior.links[i]!;
  for (let p = 0; p < prefixes; p++) {
    const worth = hasWeight(step, p);
    const living = alive(step, p);
    const before = front.open[p]!;
    if (worth) {
      push(step, model.sound, front.alpha, p * size, sound);
      push(step, model.fouled, front.alpha, p * size, fouled);
    }
    for (let own = 0; own < bodies; own++) {
      const body = own as 0 | 1;
      const to = p + own * prefixes;
      const at = to * size;
      front.open[to] = worth ? before + living * link.open[body] : 0;
      front.alpha.fill(0, at, at + size);
      if (!worth) continue;
      const [ifSound, ifFouled] = [link.sound[body], link.fouled[body]];
      for (let m = 0; m < size; m++) {
        front.alpha[at + m] = ifSound * sound[m]! + ifFouled * fouled[m]!;
      }
    }
  }
  return prefixes * bodies;
}

/** Whether any configuration with this prefix has weight. */
function hasWeight({ omega, prefixes }: Step, p: number): boolean {
  for (let c = p; c < omega.length; c += prefixes) if (omega[c]! > 0) return true;
  return false;
}

/**
 * Behind the last shared connector the body states differ only in weight: sums the forward
 * messages over them, so that the rest of the way carries one configuration. Returns that.
 */
function fold(step: Step, work: Workspace): number {
  const { front, model, i, size, prefixes } = step;
  const { sound, fouled, pulledSound, pulledFouled } = work;
  const link = model.prior.links[i]!;
  let open = 0;
  sound.fill(0, 0, size);
  fouled.fill(0, 0, size);
  for (let p = 0; p < prefixes; p++) {
    const opening = weightOf(step, p, 0, link.open);
    open += front.open[p]! * weightOf(step, p, 0, [1, 1]) + alive(step, p) * opening;
    addScaled(sound, front.alpha, p * size, weightOf(step, p, 0, link.sound), size);
    addScaled(fouled, front.alpha, p * size, weightOf(step, p, 0, link.fouled), size);
  }
  push(step, model.sound, sound, 0, pulledSound);
  push(step, model.fouled, fouled, 0, pulledFouled);
  // At the first link both start from t = 0 with the weight of the link's states alone.
  const ifSound = i === 0 ? weightOf(step, 0, 0, link.sound) : 1;
  const ifFouled = i === 0 ? weightOf(step, 0, 0, link.fouled) : 1;
  for (let m = 0; m < size; m++) {
    front.alpha[m] = ifSound * pulledSound[m]! + ifFouled * pulledFouled[m]!;
  }
  front.open[0] = open;
  return 1;
}

/** `from` carried over the contact, from the panels that count; from t = 0 at the first link. */
function push(
  { front, i }: Step,
  kernel: ContactKernel,
  from: Float64Array,
  at: number,
  to: Float64Array,
): void {
  if (i === 0) to.set(kernel.origin);
  else pushForward(kernel, from, at, to, 0, front.panels);
}
