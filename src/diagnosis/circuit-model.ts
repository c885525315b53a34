import type { ChainPrior } from "./chain-prior.ts";
import { type ContactKernel, pullBack } from "./contact-kernel.ts";
import { type DisplayLikelihood, likelihoodAt, multiplyLikelihoods } from "./display-likelihood.ts";
import type { Mesh } from "./mesh.ts";

/** One reading of a circuit, ready to be weighed. */
export interface CircuitReading {
  /** Index of its point in the chain, from 0. */
  readonly link: number;
  /** Load of the meter that took it [Ω]. */
  readonly loadOhms: number;
  /** Everything in the loop but contacts: load, source and wire up to the point [Ω]. */
  readonly loopOhms: number;
  readonly display: DisplayLikelihood;
}

/** One circuit with all that does not depend on the EMF. */
export interface CircuitModel {
  readonly prior: ChainPrior;
  readonly mesh: Mesh;
  readonly sound: ContactKernel;
  readonly fouled: ContactKernel;
  /** Readings by link. */
  readonly readings: readonly (readonly CircuitReading[])[];
}

/**
 * The backward messages of one circuit at one EMF.
 *
 * With `t_i` the contact resistance up to link `i` and `q` a body configuration of the shared
 * links behind it, `g_i(t, q)` is the likelihood of all readings from point `i` on, given t_i = t.
 * The recursion runs from the far end:
 *
 *     g_i = likelihood_i * (P(sound) K_sound g_(i+1) + P(fouled) K_fouled g_(i+1)
 *                           + P(open) open_(i+1))
 *
 * where `open_i` is the likelihood of the readings from point `i` on when all of them are 0 V.
 * Each step is scaled to a maximum of 1; `logScale` keeps what was taken out.
 */
export interface CircuitMessages {
  readonly emf: number;
  readonly logScale: number;
  /** Likelihood of all the circuit's readings, by body configuration, times exp(-logScale). */
  readonly likelihood: Float64Array;
  /** likelihood_i at the mesh's nodes, link by link. */
  readonly pointLikelihood: Float64Array;
  /** The same at 0 V, link by link. */
  readonly pointOpen: Float64Array;
  /** `g_i`, `K_sound g_i` and `K_fouled g_i`, each [link][suffix configuration][node]. */
  readonly g: readonly Float64Array[];
  readonly soundG: readonly Float64Array[];
  readonly fouledG: readonly Float64Array[];
  readonly open: Float64Array;
}

/** How many body configurations the shared links behind link `i` (from 0) have. */
export const suffixCount = (prior: ChainPrior, i: number): number =>
  1 << (prior.sharedBefore.at(-1)! - prior.sharedBefore[i + 1]!);

export function circuitMessages(model: CircuitModel, emf: number): CircuitMessages {
  const { prior, mesh } = model;
  const size = mesh.t.length;
  const count = prior.links.length;
  const take = storeFor(prior, size);
  const { nodes: pointLikelihood, open: pointOpen } = pointLikelihoods(model, emf, take);
  const g: Float64Array[] = new Array(count);
  const soundG: Float64Array[] = new Array(count);
  const fouledG: Float64Array[] = new Array(count);
  const open = new Float64Array(count);
  let logScale = 0;
  for (let i = count - 1; i >= 0; i--) {
    const configurations = suffixCount(prior, i);
    const here = take(configurations * size);
    open[i] = pointOpen[i]! * (i + 1 < count ? open[i + 1]! : 1);
    let most = open[i]!;
    for (let q = 0; q < configurations; q++) {
      if (i + 1 < count) mixNext(model, i, q, soundG, fouledG, open, here);
      else here.fill(1);
      for (let m = 0; m < size; m++) {
        const value = here[q * size + m]! * pointLikelihood[i * size + m]!;
        here[q * size + m] = value;
        if (value > most) most = value;
      }
    }
    logScale += Math.log(most);
    open[i]! /= most;
    for (let m = 0; m < here.length; m++) here[m]! /= most;
    g[i] = here;
    if (i > 0) {
      soundG[i] = pulled(model.sound, here, configurations, take(here.length));
      fouledG[i] = pulled(model.fouled, here, configurations, take(here.length));
    } else {
      soundG[0] = fromOrigin(model.sound, here, configurations);
      fouledG[0] = fromOrigin(model.fouled, here, configurations);
    }
  }
  const likelihood = chainLikelihood(prior, soundG[0]!, fouledG[0]!, open[0]!);
  return { emf, logScale, likelihood, pointLikelihood, pointOpen, g, soundG, fouledG, open };
}

/** Room for one circuit's messages, in one piece: many small arrays cost more than their contents. */
function storeFor(prior: ChainPrior, size: number): (length: number) => Float64Array {
  const links = prior.links.length;
  const rows = prior.links.reduce((sum, _, i) => sum + 3 * suffixCount(prior, i), links);
  const store = new Float64Array(rows * size);
  let used = 0;
  return (length) => {
    used += length;
    return store.subarray(used - length, used);
  };
}

/** The likelihood of each point's readings at every node, and at 0 V. */
function pointLikelihoods(
  model: CircuitModel,
  emf: number,
  take: (length: number) => Float64Array,
): { nodes: Float64Array; open: Float64Array } {
  const { mesh, readings } = model;
  const size = mesh.t.length;
  const nodes = take(readings.length * size).fill(1);
  const open = new Float64Array(readings.length).fill(1);
  for (const [i, here] of readings.entries()) {
    for (const { loadOhms, loopOhms, display } of here) {
      multiplyLikelihoods(display, emf * loadOhms, loopOhms, mesh.t, nodes, i * size);
      open[i]! *= likelihoodAt(display, 0);
    }
  }
  return { nodes, open };
}

/** Mixes the three states of link i + 1 into `to`, for the configuration `q` behind link i. */
function mixNext(
  model: CircuitModel,
  i: number,
  q: number,
  soundG: readonly Float64Array[],
  fouledG: readonly Float64Array[],
  open: Float64Array,
  to: Float64Array,
): void {
  const size = model.mesh.t.length;
  const link = model.prior.links[i + 1]!;
  const body = link.shared ? ((q & 1) as 0 | 1) : 0;
  const behind = (link.shared ? q >> 1 : q) * size;
  const sound = link.sound[body];
  const fouled = link.fouled[body];
  const dead = link.open[body] * open[i + 1]!;
  const s = soundG[i + 1]!;
  const f = fouledG[i + 1]!;
  for (let m = 0; m < size; m++) {
    to[q * size + m] = sound * s[behind + m]! + fouled * f[behind + m]! + dead;
  }
}

function pulled(
  kernel: ContactKernel,
  g: Float64Array,
  configurations: number,
  to: Float64Array,
): Float64Array {
  const size = g.length / configurations;
  for (let q = 0; q < configurations; q++) pullBack(kernel, g, q * size, to, q * size);
  return to;
}

/** K g at t = 0, where every path starts: one number for each configuration. */
function fromOrigin(kernel: ContactKernel, g: Float64Array, configurations: number): Float64Array {
  const to = new Float64Array(configurations);
  const size = kernel.origin.length;
  for (let q = 0; q < configurations; q++) {
    let sum = 0;
    for (let m = 0; m < size; m++) sum += kernel.origin[m]! * g[q * size + m]!;
    to[q] = sum;
  }
  return to;
}

function chainLikelihood(
  prior: ChainPrior,
  sound: Float64Array,
  fouled: Float64Array,
  open: number,
): Float64Array {
  const link = prior.links[0]!;
  return Float64Array.from({ length: prior.configurations }, (_, c) => {
    const body = link.shared ? ((c & 1) as 0 | 1) : 0;
    const q = link.shared ? c >> 1 : c;
    const sum =
      link.sound[body] * sound[q]! + link.fouled[body] * fouled[q]! + link.open[body] * open;
    // Where the mesh is coarse, at an EMF that the readings rule out, interpolation may dip under 0.
    return Math.max(sum, Number.MIN_VALUE);
  });
}
