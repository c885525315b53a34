import { loopVolts } from "../../circuit/conducting.ts";
import { readingVolts } from "../../circuit/divider.ts";
import { ohms, volts } from "../../domain/units.ts";
import { RowStore } from "../../numerics/row-store.ts";
import type { CircuitProblem, ReadingProblem } from "../problem.ts";
import { type ContactKernel, pullBack } from "./contact-kernel.ts";
import type { Mesh } from "./mesh.ts";
import { likelihoodAt } from "./reading-likelihood.ts";

/** The few numbers of a walk that its circuits share: given them, circuits are independent. */
export interface Nuisance {
  /** EMF in the middle of the walk, by supply [V]. */
  readonly emf: readonly number[];
  /** Change of the EMF from the first reading to the last [V]. */
  readonly drift: number;
  /** The walk's noise over the stated one. */
  readonly noiseScale: number;
  /** Part of the EMF that a leak lets through to what lies behind it; absent: all. */
  readonly passed?: number;
  /** Source resistance by supply, load by meter [Ω]. */
  readonly sourceOhms: readonly number[];
  readonly loadOhms: readonly number[];
}

/** E_j = E + D x_j + its own offset: the EMF that a reading saw, x_j its place in the walk [V]. */
export const emfAt = (nuisance: Nuisance, supply: number, reading: ReadingProblem): number =>
  nuisance.emf[supply]! +
  nuisance.drift * reading.order +
  (reading.emfOffset ?? 0) * (nuisance.passed ?? 1);

/** The readings of each point as functions of the contact resistance up to it, at a mesh's nodes. */
export interface PointLikelihoods {
  /** By link, a row of the mesh's size each: no intermittent contact in front. */
  readonly plain: Float64Array;
  /** The same behind an intermittent contact; null where nobody asked. */
  readonly shaky: Float64Array | null;
  /** By link: behind an open contact. */
  readonly open: Float64Array;
}

/** How the voltage at a reading depends on the contact resistance `t` up to its point. */
export type VoltsAt = (reading: ReadingProblem, link: number) => (t: number) => number;

/** A path on which nothing conducts but the meter: equation (1). */
export function seriesVolts(circuit: CircuitProblem, nuisance: Nuisance): VoltsAt {
  const source = ohms(nuisance.sourceOhms[circuit.supply]!);
  const wire = wireOhmsTo(circuit);
  return (reading, link) => {
    const emf = volts(emfAt(nuisance, circuit.supply, reading));
    const load = ohms(nuisance.loadOhms[reading.meter]!);
    return (t) => readingVolts(emf, load, source, ohms(wire[link]! + t));
  };
}

/** A path whose loop through what conducts has this resistance [Ω]. */
export function loopedVolts(circuit: CircuitProblem, nuisance: Nuisance, loop: number): VoltsAt {
  const source = nuisance.sourceOhms[circuit.supply]!;
  const wire = wireOhmsTo(circuit);
  return (reading, link) => {
    const emf = volts(emfAt(nuisance, circuit.supply, reading));
    const load = ohms(nuisance.loadOhms[reading.meter]!);
    return (t) => loopVolts(emf, load, ohms(source + wire[link]! + t), ohms(loop));
  };
}

/** Copper from the timer to each point, out and back [Ω]. */
export function wireOhmsTo({ links }: CircuitProblem): readonly number[] {
  let sum = 0;
  return links.map(({ wireOhms }) => {
    sum += wireOhms;
    return sum;
  });
}

/** What a bad moment does: its law's kernel, and the chance that it is a resistance, not an open. */
export interface BadMoments {
  readonly kernel: ContactKernel;
  readonly fouled: number;
}

/**
 * Weighs the readings of every link at every node. Readings in `off` were taken with a display
 * that was off: they say nothing. With `bad`, also as seen behind an intermittent contact:
 *
 *     l~(t) = (1 - bad) l(t) + bad (f (K l)(t) + (1 - f) l(open))
 */
export function pointLikelihoods(
  mesh: Mesh,
  readings: readonly (readonly ReadingProblem[])[],
  voltsAt: VoltsAt,
  noiseScale: number,
  off: ReadonlySet<number> | null,
  bad: BadMoments | null,
): PointLikelihoods {
  const size = mesh.t.length;
  const store = new RowStore(size * (readings.length * (bad ? 2 : 1) + 2));
  const plain = store.row(readings.length * size).fill(1);
  const shaky = bad ? store.row(readings.length * size).fill(1) : null;
  const open = new Float64Array(readings.length).fill(1);
  const one = store.row(size);
  const pulled = store.row(size);
  for (let link = 0; link < readings.length; link++) {
    for (const reading of readings[link]!) {
      if (off?.has(reading.index)) continue;
      const at = voltsAt(reading, link);
      for (let m = 0; m < size; m++) one[m] = likelihoodAt(reading, at(mesh.t[m]!), noiseScale);
      const ifOpen = likelihoodAt(reading, 0, noiseScale);
      open[link]! *= ifOpen;
      const base = link * size;
      for (let m = 0; m < size; m++) plain[base + m]! *= one[m]!;
      if (shaky === null || bad === null) continue;
      pullBack(bad.kernel, one, 0, pulled, 0);
      const chance = reading.badMoment;
      const rest = chance * (1 - bad.fouled) * ifOpen;
      for (let m = 0; m < size; m++) {
        shaky[base + m]! *= (1 - chance) * one[m]! + chance * bad.fouled * pulled[m]! + rest;
      }
    }
  }
  return { plain, shaky, open };
}
