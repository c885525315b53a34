import { readingVolts } from "../../circuit/divider.ts";
import { parallelOhms } from "../../circuit/ladder.ts";
import { type Ohms, ohms, volts } from "../../domain/units.ts";
import { gaussLegendre } from "../../numerics/gauss-legendre.ts";
import { normalDensity } from "../../numerics/normal.ts";
import type { CircuitProblem, ReadingProblem } from "../problem.ts";
import type { Mesh } from "./mesh.ts";
import type { ChainEnd } from "./messages.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "./point-likelihoods.ts";
import { likelihoodAt } from "./reading-likelihood.ts";

/** The closed switch: ln Rd ~ Normal(ln 2 ohm, 1), one for the circuit and walk. */
export const CLOSED = { medianOhms: 2, logSd: 1 };
const RULE = gaussLegendre(5);
/** How far z = ln(Rd / median) / sd is followed, and where panels end whatever was read. */
const PRIOR = [-6, -3.5, -2, -1, 0, 1, 2, 3.5, 6];
/** The same around what shows each reading, in its noise, and how near to each other two ends may be. */
const ALONG = [-12, -4, -1.5, 1.5, 4, 12];
const NEAREST = 1e-4;

/** Readings at the device itself, where the switch is: the path's end. */
export const pressedAtEnd = (circuit: CircuitProblem): CircuitProblem["pressed"][number] =>
  circuit.pressed.at(-1) ?? [];

/**
 * P(the pressed readings at a path's end), the switch integrated out: of a path of few ohms a meter
 * tells a switch to a percent, so that panels in z are laid where each reading puts it.
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
  const readings = pressedAtEnd(circuit).map((reading) => ({
    reading,
    emf: volts(emfAt(nuisance, circuit.supply, reading)),
    load: parallelOhms(ohms(nuisance.loadOhms[reading.meter]!), beside),
  }));
  const ends = readings
    .flatMap((own) => endsAround(own, before, nuisance.noiseScale))
    .filter((z) => Math.abs(z) < PRIOR.at(-1)!)
    .concat(PRIOR)
    .sort((a, b) => a - b);
  let sum = 0;
  for (let i = 1, low = ends[0]!; i < ends.length; i++) {
    const half = (ends[i]! - low) / 2;
    if (half < NEAREST) continue;
    for (let n = 0; n < RULE.nodes.length; n++) {
      const z = low + half * (1 + RULE.nodes[n]!);
      const closed = ohms(CLOSED.medianOhms * Math.exp(CLOSED.logSd * z));
      let product = half * RULE.weights[n]! * normalDensity(z);
      for (const { reading, emf, load } of readings) {
        const shown = readingVolts(emf, parallelOhms(load, closed), ohms(0), before);
        product *= likelihoodAt(reading, shown, nuisance.noiseScale);
      }
      sum += product;
    }
    low = ends[i]!;
  }
  return sum;
}

interface Pressed {
  readonly reading: ReadingProblem;
  readonly emf: number;
  /** The meter beside whatever else lies across the device [Ω]. */
  readonly load: number;
}

/** Where along z a reading's likelihood rises and falls: what would show both ends of its step. */
function endsAround({ reading, emf, load }: Pressed, before: number, scale: number): number[] {
  const { shown, halfStep, noise } = reading;
  return [-halfStep, halfStep].flatMap((off) =>
    ALONG.flatMap((z) => {
      const at = shown + off + z * noise * scale;
      // E RL' / (RL' + before) = V, RL' the load beside the switch.
      const across = (at * before) / (emf - at);
      const closed = 1 / (1 / across - 1 / load);
      return at > 0 && at < emf && closed > 0
        ? [Math.log(closed / CLOSED.medianOhms) / CLOSED.logSd]
        : [];
    }),
  );
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
