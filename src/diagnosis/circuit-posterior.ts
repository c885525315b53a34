import { type CircuitMessages, type CircuitModel, suffixCount } from "./circuit-model.ts";
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
 * p(r) * sum over j, m of coupling[j][m] * basis_m(t_j + r).
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

/** Buffers for the couplings, grown to the largest mesh so far. */
let soundScratch = new Float64Array(0);
let fouledScratch = new Float64Array(0);

let scratchPair = [new Float64Array(0), new Float64Array(0)] as const;

/** Two arrays that hold nothing from one call to the next. */
function scratch(size: number): readonly [Float64Array, Float64Array] {
  if (scratchPair[0].length < size) {
    scratchPair = [new Float64Array(size), new Float64Array(size)];
  }
  return [scratchPair[0].subarray(0, size), scratchPair[1].subarray(0, size)];
}

/** The forward messages of one circuit at one EMF, as far as the walk along it has come. */
interface Front {
  /** Weights of t before the link, [prefix configuration][node]; unused at the first link. */
  alpha: Float64Array;
  /** Panels of the mesh on which alpha still counts, given the readings behind. */
  panels: readonly number[];
  /** Weight of "already open", by prefix configuration. */
  open: Float64Array;
  /** The bodies no longer matter one by one: there is one configuration left. */
  folded: boolean;
}

interface Accumulator {
  sound: number;
  fouled: number;
  open: number;
  readonly soundCoupling: Float64Array;
  readonly fouledCoupling: Float64Array;
  unseenSound: number;
  unseenFouled: number;
  readonly before: Float64Array;
}

/**
 * Walks forward along one circuit at every EMF node and hands each contact's posterior to `visit`,
 * link by link. Couplings are handed out in buffers that the next call overwrites.
 *
 * Returns P(sound | configuration, EMF), by node, by link, by configuration, for shared links.
 * With `coupled` false, couplings are left empty: states alone are wanted.
 */
export function circuitPosterior(
  model: CircuitModel,
  nodes: readonly CircuitNode[],
  visit: (link: number, posterior: ContactPosterior) => void,
  coupled = true,
): readonly (readonly Float64Array[])[] {
  const size = model.mesh.t.length;
  const links = model.prior.links.length;
  const soundGiven: Float64Array[][] = nodes.map(() => []);
  const fronts = nodes.map(
    (): Front => ({
      alpha: new Float64Array(0),
      panels: [],
      open: new Float64Array(1),
      folded: model.prior.configurations === 1,
    }),
  );
  const cells = coupled ? size * size : 0;
  if (soundScratch.length < cells) {
    soundScratch = new Float64Array(cells);
    fouledScratch = new Float64Array(cells);
  }
  const sound = soundScratch.subarray(0, cells);
  const fouled = fouledScratch.subarray(0, cells);
  for (let i = 0; i < links; i++) {
    sound.fill(0);
    fouled.fill(0);
    const sums: Accumulator = {
      sound: 0,
      fouled: 0,
      open: 0,
      soundCoupling: sound,
      fouledCoupling: fouled,
      unseenSound: 0,
      unseenFouled: 0,
      before: new Float64Array(i === 0 ? 1 : size),
    };
    for (const [n, node] of nodes.entries()) {
      const front = fronts[n]!;
      const { soundOf, omega } = addLink(model, node, front, i, sums);
      soundGiven[n]!.push(soundOf);
      if (i + 1 < links) advance(model, node, front, i, omega);
    }
    visit(i, {
      states: { sound: sums.sound, fouled: sums.fouled, open: sums.open },
      sound,
      fouled,
      unseen: { sound: sums.unseenSound, fouled: sums.unseenFouled },
      before: sums.before,
    });
  }
  return soundGiven;
}

/** How a configuration of the whole chain falls into prefix, own body and suffix at link i. */
function configurationsAt(model: CircuitModel, front: Front, i: number) {
  const { prior } = model;
  const before = front.folded ? 0 : prior.sharedBefore[i]!;
  const own = prior.links[i]!.shared ? 1 : 0;
  const suffixes = suffixCount(prior, i);
  return { before, own, prefixes: 1 << before, suffixes, count: suffixes << (before + own) };
}

/** sum over t of alpha(t) * message(t), for one prefix and one suffix; the message itself at t=0. */
function joined(front: Front, i: number, p: number, message: Float64Array, q: number): number {
  if (i === 0) return message[q]!;
  const size = front.alpha.length / front.open.length;
  let sum = 0;
  for (let m = 0; m < size; m++) sum += front.alpha[p * size + m]! * message[q * size + m]!;
  return sum;
}

/** P(not open before link i), unnormalised. */
function alive(front: Front, i: number, p: number): number {
  if (i === 0) return 1;
  const size = front.alpha.length / front.open.length;
  let sum = 0;
  for (let m = 0; m < size; m++) sum += front.alpha[p * size + m]!;
  return sum;
}

/**
 * Adds link i at one EMF node to the sums. Returns P(sound | configuration), and each
 * configuration's posterior weight over its unnormalised likelihood.
 */
function addLink(
  model: CircuitModel,
  node: CircuitNode,
  front: Front,
  i: number,
  sums: Accumulator,
): { soundOf: Float64Array; omega: Float64Array } {
  const { messages } = node;
  const link = model.prior.links[i]!;
  const { before: bits, own, prefixes, count } = configurationsAt(model, front, i);
  const soundOf = new Float64Array(count);
  const omega = new Float64Array(count);
  const tail = messages.open[i]!;
  for (let p = 0; p < prefixes; p++) {
    const living = alive(front, i, p);
    const dead = front.open[p]! * tail;
    for (let rest = 0; rest < count >> bits; rest++) {
      const c = p | (rest << bits);
      const posterior = front.folded ? 1 : node.bodies[c]!;
      if (posterior < COUNTS) continue;
      const body = (own ? rest & 1 : 0) as 0 | 1;
      const q = rest >> own;
      const sound = link.sound[body] * joined(front, i, p, messages.soundG[i]!, q);
      const fouled = link.fouled[body] * joined(front, i, p, messages.fouledG[i]!, q);
      const open = link.open[body] * living * tail;
      const total = sound + fouled + open + dead;
      if (!(total > 0)) continue;
      soundOf[c] = (sound + dead * link.sound[body]) / total;
      const weight = (node.weight * posterior) / total;
      omega[c] = weight;
      sums.sound += weight * (sound + dead * link.sound[body]);
      sums.fouled += weight * (fouled + dead * link.fouled[body]);
      sums.open += weight * (open + dead * link.open[body]);
      sums.unseenSound += weight * dead * link.sound[body];
      sums.unseenFouled += weight * dead * link.fouled[body];
    }
  }
  const before = nodesBefore(model, node, front, i, omega);
  addScaled(sums.before, before, 0, 1);
  front.panels = panelsThatCount(before, COUNTS * node.weight);
  if (sums.soundCoupling.length > 0) {
    addCouplings(model, node, front, i, omega, sums);
  }
  return { soundOf, omega };
}

/** Panels with a node of more weight than `least`. */
function panelsThatCount(before: Float64Array, least: number): readonly number[] {
  const panels: number[] = [];
  for (let j = 0; j < before.length; j++) {
    const panel = Math.floor(j / NODES);
    if (Math.abs(before[j]!) > least && panels.at(-1) !== panel) panels.push(panel);
  }
  return panels;
}

/** Posterior weight of every node of t in front of link i at one EMF, open paths left out. */
function nodesBefore(
  model: CircuitModel,
  { messages }: CircuitNode,
  front: Front,
  i: number,
  omega: Float64Array,
): Float64Array {
  const size = model.mesh.t.length;
  const before = new Float64Array(i === 0 ? 1 : size);
  const link = model.prior.links[i]!;
  const split = configurationsAt(model, front, i);
  const tail = messages.open[i]!;
  for (let p = 0; p < split.prefixes; p++) {
    for (let rest = 0; rest < split.count >> split.before; rest++) {
      const body = (split.own ? rest & 1 : 0) as 0 | 1;
      const q = (rest >> split.own) * (i === 0 ? 1 : size);
      const weight = omega[p | (rest << split.before)]!;
      if (weight === 0) continue;
      const sound = weight * link.sound[body];
      const fouled = weight * link.fouled[body];
      const open = weight * link.open[body] * tail;
      for (let m = 0; m < before.length; m++) {
        const behind = sound * messages.soundG[i]![q + m]! + fouled * messages.fouledG[i]![q + m]!;
        before[m]! += (i === 0 ? 1 : front.alpha[p * size + m]!) * (behind + open);
      }
    }
  }
  return before;
}

/** coupling += sum over configurations of weight * P(state | body) * alpha (outer) g. */
function addCouplings(
  model: CircuitModel,
  node: CircuitNode,
  front: Front,
  i: number,
  omega: Float64Array,
  sums: Accumulator,
): void {
  const size = model.mesh.t.length;
  const { before, own, prefixes, suffixes } = configurationsAt(model, front, i);
  const link = model.prior.links[i]!;
  const g = node.messages.g[i]!;
  const least = COUPLED * node.weight;
  const [mix, pulledMix] = scratch(size);
  for (const [states, coupling, kernel, pulled] of [
    [link.sound, sums.soundCoupling, model.sound, node.messages.soundG[i]!],
    [link.fouled, sums.fouledCoupling, model.fouled, node.messages.fouledG[i]!],
  ] as const) {
    // The weight of prefix p with suffix q, this link's body summed out.
    const pair = (p: number, q: number): number => {
      let weight = 0;
      for (let body = 0; body <= own; body++) {
        const c = p | (body << before) | (q << (before + own));
        weight += omega[c]! * states[body as 0 | 1];
      }
      return weight;
    };
    if (prefixes <= suffixes || i === 0) {
      for (let p = 0; p < prefixes; p++) {
        mix.fill(0);
        for (let q = 0; q < suffixes; q++) addScaled(mix, g, q * size, pair(p, q));
        if (i === 0) {
          addScaled(coupling, mix, 0, 1);
          continue;
        }
        pulledMix.fill(0);
        for (let q = 0; q < suffixes; q++) addScaled(pulledMix, pulled, q * size, pair(p, q));
        addOuter(coupling, kernel, front.alpha.subarray(p * size), mix, pulledMix, least);
      }
    } else {
      for (let q = 0; q < suffixes; q++) {
        mix.fill(0);
        for (let p = 0; p < prefixes; p++) addScaled(mix, front.alpha, p * size, pair(p, q));
        addOuter(coupling, kernel, mix, g.subarray(q * size), pulled.subarray(q * size), least);
      }
    }
  }
}

function addScaled(to: Float64Array, from: Float64Array, at: number, weight: number): void {
  if (weight === 0) return;
  const length = Math.min(to.length, from.length - at);
  for (let m = 0; m < length; m++) to[m]! += weight * from[at + m]!;
}

/** to += left (outer) right where the kernel reaches; rows that hold no probability are left out. */
function addOuter(
  to: Float64Array,
  { reach }: ContactKernel,
  left: Float64Array,
  right: Float64Array,
  pulledRight: Float64Array,
  least: number,
): void {
  const size = reach.length * NODES;
  for (let j = 0; j < size; j++) {
    const weight = left[j]!;
    if (Math.abs(weight * pulledRight[j]!) < least) continue;
    const panel = Math.floor(j / NODES);
    const base = j * size;
    const end = (panel + reach[panel]!) * NODES;
    for (let m = panel * NODES; m < end; m++) to[base + m]! += weight * right[m]!;
  }
}

/** Carries the front over link i and the readings at its point. */
function advance(
  model: CircuitModel,
  node: CircuitNode,
  front: Front,
  i: number,
  omega: Float64Array,
): void {
  const { prior } = model;
  const lastShared = !front.folded && prior.sharedBefore[i + 1]! === prior.sharedBefore.at(-1)!;
  const mixes = lastShared
    ? foldedMixes(model, front, i, omega)
    : bodyMixes(model, front, i, omega);
  const size = model.mesh.t.length;
  const alpha = new Float64Array(mixes.open.length * size);
  const [sound, fouled] = scratch(size);
  let most = 0;
  for (const { pushSound, pushFouled, carry } of mixes.pushes) {
    pushSound(sound);
    pushFouled(fouled);
    for (const { to, soundPart, fouledPart } of carry) {
      for (let m = 0; m < size; m++) {
        const carried = soundPart * sound[m]! + fouledPart * fouled[m]!;
        const value = carried * node.messages.pointLikelihood[i * size + m]!;
        alpha[to * size + m] = value;
        if (value > most) most = value;
      }
    }
  }
  const open = mixes.open.map((value) => value * node.messages.pointOpen[i]!);
  for (const value of open) most = Math.max(most, value);
  for (let m = 0; m < alpha.length; m++) alpha[m]! /= most;
  front.alpha = alpha;
  front.open = open.map((value) => value / most);
  front.folded ||= lastShared;
}

/** What to push through link i's kernels, and into which configurations it then goes. */
interface Mixes {
  readonly pushes: readonly Push[];
  readonly open: Float64Array;
}

interface Push {
  readonly pushSound: (to: Float64Array) => void;
  readonly pushFouled: (to: Float64Array) => void;
  readonly carry: readonly {
    readonly to: number;
    readonly soundPart: number;
    readonly fouledPart: number;
  }[];
}

/** Each prefix that counts by itself, then into both states of link i's body. */
function bodyMixes(model: CircuitModel, front: Front, i: number, omega: Float64Array): Mixes {
  const { before, own, prefixes } = configurationsAt(model, front, i);
  const size = model.mesh.t.length;
  const link = model.prior.links[i]!;
  const open = new Float64Array(prefixes << own);
  const bodies = own ? ([0, 1] as const) : ([0] as const);
  const counts = new Uint8Array(prefixes);
  for (let c = 0; c < omega.length; c++) if (omega[c]! > 0) counts[c & (prefixes - 1)] = 1;
  const pushes: Push[] = [];
  for (let p = 0; p < prefixes; p++) {
    if (counts[p] === 0) continue;
    const living = alive(front, i, p);
    for (const body of bodies) {
      open[p | (body << before)] = front.open[p]! + living * link.open[body];
    }
    pushes.push({
      pushSound: pusher(model.sound, front, i, p * size),
      pushFouled: pusher(model.fouled, front, i, p * size),
      carry: bodies.map((body) => ({
        to: p | (body << before),
        soundPart: link.sound[body],
        fouledPart: link.fouled[body],
      })),
    });
  }
  return { pushes, open };
}

/**
 * Behind the last shared connector the body states differ only in weight: sums the forward
 * messages over them, so that the rest of the way carries one configuration.
 */
function foldedMixes(model: CircuitModel, front: Front, i: number, omega: Float64Array): Mixes {
  const { before, own, prefixes } = configurationsAt(model, front, i);
  const size = model.mesh.t.length;
  const link = model.prior.links[i]!;
  const sound = new Float64Array(i === 0 ? 1 : size);
  const fouled = new Float64Array(i === 0 ? 1 : size);
  let open = 0;
  for (let p = 0; p < prefixes; p++) {
    const living = alive(front, i, p);
    for (let body = 0; body <= own; body++) {
      const weight = omega[p | (body << before)]!;
      const state = body as 0 | 1;
      open += weight * (front.open[p]! + living * link.open[state]);
      if (i === 0) {
        sound[0]! += weight * link.sound[state];
        fouled[0]! += weight * link.fouled[state];
      } else {
        addScaled(sound, front.alpha, p * size, weight * link.sound[state]);
        addScaled(fouled, front.alpha, p * size, weight * link.fouled[state]);
      }
    }
  }
  const soundFront = { ...front, alpha: sound };
  const fouledFront = { ...front, alpha: fouled };
  const carry = [
    { to: 0, soundPart: i === 0 ? sound[0]! : 1, fouledPart: i === 0 ? fouled[0]! : 1 },
  ];
  return {
    pushes: [
      {
        pushSound: pusher(model.sound, soundFront, i, 0),
        pushFouled: pusher(model.fouled, fouledFront, i, 0),
        carry,
      },
    ],
    open: Float64Array.of(open),
  };
}

function pusher(
  kernel: ContactKernel,
  front: Front,
  i: number,
  at: number,
): (to: Float64Array) => void {
  if (i === 0) return (to) => to.set(kernel.origin);
  return (to) => pushForward(kernel, front.alpha, at, to, 0, front.panels);
}
