import { readingVolts } from "../../circuit/divider.ts";
import { parallelOhms } from "../../circuit/ladder.ts";
import { type Ohms, ohms, volts } from "../../domain/units.ts";
import { gaussHermite } from "../../numerics/gauss-rule.ts";
import type { CircuitProblem } from "../problem.ts";
import type { Mesh } from "./mesh.ts";
import type { ChainEnd } from "./messages.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "./point-likelihoods.ts";
import { likelihoodAt } from "./reading-likelihood.ts";

/** The closed switch: ln Rd ~ Normal(ln 2 ohm, 1), one for the circuit and walk. */
export const CLOSED = { medianOhms: 2, logSd: 1 };
const RULE = gaussHermite(15);

/** Readings at the device itself, where the switch is: the path's end. */
export const pressedAtEnd = (circuit: CircuitProblem): CircuitProblem["pressed"][number] =>
  circuit.pressed.at(-1) ?? [];

/**
 * P(the pressed readings at a path's end), the switch integrated out.
 *
 * @param before Resistance of the source and the path [Ω].
 * @param beside What else lies across the device [Ω]; infinite: nothing.
 */
export function pressedLikelihood(
  circuit: CircuitProblem,
  nuisance: Nuisance,
  before: Ohms,
  beside: Ohms,
): number {
  const readings = pressedAtEnd(circuit);
  let sum = 0;
  for (let n = 0; n < RULE.nodes.length; n++) {
    const closed = ohms(CLOSED.medianOhms * Math.exp(CLOSED.logSd * RULE.nodes[n]!));
    const across = parallelOhms(closed, beside);
    let product = RULE.weights[n]!;
    for (const reading of readings) {
      const emf = volts(emfAt(nuisance, circuit.supply, reading));
      const load = parallelOhms(ohms(nuisance.loadOhms[reading.meter]!), across);
      const shown = readingVolts(emf, load, ohms(0), before);
      product *= likelihoodAt(reading, shown, nuisance.noiseScale);
    }
    sum += product;
  }
  return sum;
}

/** The same as what stands at the end of a chain; null where nothing was pressed. */
export function pressedEnd(
  circuit: CircuitProblem,
  suffixes: number,
  mesh: Mesh,
  nuisance: Nuisance,
): ChainEnd | null {
  const readings = pressedAtEnd(circuit);
  if (readings.length === 0) return null;
  const link = circuit.links.length - 1;
  const base = nuisance.sourceOhms[circuit.supply]! + wireOhmsTo(circuit)[link]!;
  const size = mesh.t.length;
  const rows = new Float64Array(suffixes * size);
  for (let m = 0; m < size; m++) {
    rows[m] = pressedLikelihood(circuit, nuisance, ohms(base + mesh.t[m]!), ohms(Infinity));
  }
  for (let q = 1; q < suffixes; q++) rows.copyWithin(q * size, 0, size);
  return { link, rows, ifOpen: pressedIfOpen(circuit, nuisance) };
}

/** P(the pressed readings | the path is open). */
export const pressedIfOpen = (circuit: CircuitProblem, nuisance: Nuisance): number =>
  pressedAtEnd(circuit).reduce(
    (product, reading) => product * likelihoodAt(reading, 0, nuisance.noiseScale),
    1,
  );

/** Whether a point in front of the device was read with the switch pressed: see `pressed-ways.ts`. */
export const isPressedInside = ({ pressed }: CircuitProblem): boolean =>
  pressed.slice(0, -1).some((row) => row.length > 0);
