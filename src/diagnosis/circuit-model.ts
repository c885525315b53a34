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
  /**
   * Rows of a value at each of the mesh's nodes: first likelihood_i, link by link; then for each
   * link `g_i`, `K_sound g_i` and `K_fouled g_i`, each by suffix configuration (`MessageRows`).
   */
  readonly rows: Float64Array;
  /** The readings' likelihood at 0 V, link by link. */
  readonly pointOpen: Float64Array;
  /** `K_sound g_0` and `K_fouled g_0` at t = 0, where every path starts, by suffix configuration. */
  readonly soundOrigin: Float64Array;
  readonly fouledOrigin: Float64Array;
  readonly open: Float64Array;
}

export function circuitMessages(model: CircuitModel, emf: number): CircuitMessages {
  const { prior, mesh } = model;
  const size = mesh.t.length;
  const links = prior.links.length;
  // In one piece: many small arrays cost more than their contents.
  const rows = new Float64Array(prior.rows.at(-1)!.end * size);
  const pointOpen = weighReadings(model, emf, rows);
  const open = new Float64Array(links);
  let logScale = 0;
  for (let i = links - 1; i >= 0; i--) {
    const suffixes = prior.suffixes[i]!;
    const { g, soundG, fouledG } = prior.rows[i]!;
    open[i] = pointOpen[i]! * (i + 1 < links ? open[i + 1]! : 1);
    let most = open[i]!;
    for (let q = 0; q < suffixes; q++) {
      const at = (g + q) * size;
      if (i + 1 < links) mixNext(model, i, q, rows, open[i + 1]!, at);
      else rows.fill(1, at, at + size);
      for (let m = 0; m < size; m++) {
        const value = rows[at + m]! * rows[i * size + m]!;
        rows[at + m] = value;
        if (value > most) most = value;
      }
    }
    logScale += Math.log(most);
    open[i]! /= most;
    for (let at = g * size; at < (g + suffixes) * size; at++) rows[at]! /= most;
    for (let q = 0; q < suffixes && i > 0; q++) {
      pullBack(model.sound, rows, (g + q) * size, rows, (soundG + q) * size);
      pullBack(model.fouled, rows, (g + q) * size, rows, (fouledG + q) * size);
    }
  }
  const soundOrigin = fromOrigin(model, model.sound, rows);
  const fouledOrigin = fromOrigin(model, model.fouled, rows);
  const likelihood = chainLikelihood(prior, soundOrigin, fouledOrigin, open[0]!);
  return { emf, logScale, likelihood, rows, pointOpen, soundOrigin, fouledOrigin, open };
}

/** Puts the likelihood of each link's readings into the first rows; returns it at 0 V. */
function weighReadings({ mesh, readings }: CircuitModel, emf: number, rows: Float64Array) {
  const size = mesh.t.length;
  const open = new Float64Array(readings.length).fill(1);
  rows.fill(1, 0, readings.length * size);
  for (let i = 0; i < readings.length; i++) {
    for (const { loadOhms, loopOhms, display } of readings[i]!) {
      multiplyLikelihoods(display, emf * loadOhms, loopOhms, mesh.t, rows, i * size);
      open[i]! *= likelihoodAt(display, 0);
    }
  }
  return open;
}

/**
 * Mixes the three states of link i + 1 into the row from `to` on, for the configuration `q` behind
 * link i; `open` is the likelihood of the readings from link i + 1 on behind an open contact.
 */
function mixNext(
  { prior, mesh }: CircuitModel,
  i: number,
  q: number,
  rows: Float64Array,
  open: number,
  to: number,
): void {
  const size = mesh.t.length;
  const link = prior.links[i + 1]!;
  const { soundG, fouledG } = prior.rows[i + 1]!;
  const body = link.shared ? ((q & 1) as 0 | 1) : 0;
  const behind = link.shared ? q >> 1 : q;
  const sound = link.sound[body];
  const fouled = link.fouled[body];
  const dead = link.open[body] * open;
  const soundAt = (soundG + behind) * size;
  const fouledAt = (fouledG + behind) * size;
  for (let m = 0; m < size; m++) {
    rows[to + m] = sound * rows[soundAt + m]! + fouled * rows[fouledAt + m]! + dead;
  }
}

/** K g_0 at t = 0, where every path starts: one number for each configuration. */
function fromOrigin({ prior }: CircuitModel, { origin }: ContactKernel, rows: Float64Array) {
  const to = new Float64Array(prior.suffixes[0]!);
  const { g } = prior.rows[0]!;
  for (let q = 0; q < to.length; q++) {
    const at = (g + q) * origin.length;
    let sum = 0;
    for (let m = 0; m < origin.length; m++) sum += origin[m]! * rows[at + m]!;
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
  const likelihood = new Float64Array(prior.configurations);
  for (let c = 0; c < likelihood.length; c++) {
    const body = link.shared ? ((c & 1) as 0 | 1) : 0;
    const q = link.shared ? c >> 1 : c;
    const sum =
      link.sound[body] * sound[q]! + link.fouled[body] * fouled[q]! + link.open[body] * open;
    // Where the mesh is coarse, at an EMF that the readings rule out, interpolation may dip under 0.
    likelihood[c] = Math.max(sum, Number.MIN_VALUE);
  }
  return likelihood;
}
