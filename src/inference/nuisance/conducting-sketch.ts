import { loopVolts, voltsBehind } from "../../circuit/conducting.ts";
import { ohms, volts } from "../../domain/units.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../chain/point-likelihoods.ts";
import { alikeIn } from "../conducting/alike.ts";
import type { CircuitProblem, ConductingProblem, ReadingProblem } from "../problem.ts";
import { SOUND_OHMS } from "./sound-ohms.ts";

/**
 * The likelihood of one circuit's readings while it conducts somewhere, each place by its chance, near
 * enough to say where to look: the path is sound, and ln of what conducts lies where its law and the
 * readings put it (Laplace's approximation, a few steps of Gauss and Newton).
 */
export function conductingSketch(circuit: CircuitProblem): (nuisance: Nuisance) => number {
  if (circuit.readings.flat().length === 0) return () => 0;
  const alike = alikeIn(circuit.conducting);
  const wire = wireOhmsTo(circuit);
  return (nuisance) =>
    alike.reduce((sum, one) => sum + one.chance * likelihoodOf(circuit, wire, one, nuisance), 0);
}

const TURNS = 5;
/** A step of ln ohm over which a slope is taken, and the longest one made. */
const STEP = 0.01;
const LONGEST = 2;

function likelihoodOf(
  circuit: CircuitProblem,
  wire: readonly number[],
  { link, medianOhms, logSd }: ConductingProblem,
  nuisance: Nuisance,
): number {
  const source = nuisance.sourceOhms[circuit.supply]!;
  const upTo = (k: number): number => source + wire[k]! + (k + 1) * SOUND_OHMS;
  const before = upTo(link);
  const shownBy = (reading: ReadingProblem, k: number, y: number): number => {
    const emf = volts(emfAt(nuisance, circuit.supply, reading));
    const load = ohms(nuisance.loadOhms[reading.meter]!);
    const loop = ohms(before + Math.exp(y));
    if (k <= link) return loopVolts(emf, load, ohms(upTo(k)), loop);
    return voltsBehind(emf, load, ohms(before), loop, ohms(upTo(k) - before));
  };
  const all = circuit.readings.flatMap((own, k) =>
    own.map((reading) => {
      const { noise, halfStep } = reading;
      const variance = noise ** 2 * nuisance.noiseScale ** 2 + halfStep ** 2 / 3;
      return { reading, k, variance };
    }),
  );
  const middle = Math.log(medianOhms);
  let y = middle;
  let precision = 0;
  for (let turn = 0; turn < TURNS; turn++) {
    precision = 1 / logSd ** 2;
    let gradient = (middle - y) / logSd ** 2;
    for (const { reading, k, variance } of all) {
      const at = shownBy(reading, k, y);
      const slope = (shownBy(reading, k, y + STEP) - at) / STEP;
      precision += slope ** 2 / variance;
      gradient += (slope * (reading.shown - at)) / variance;
    }
    y += Math.max(-LONGEST, Math.min(LONGEST, gradient / precision));
  }
  let log = -0.5 * ((y - middle) / logSd) ** 2 - Math.log(logSd) - 0.5 * Math.log(precision);
  for (const { reading, k, variance } of all) {
    const { shown, halfStep, slope } = reading;
    const square = (shown - shownBy(reading, k, y)) ** 2 / variance;
    log += Math.log((slope * 2 * halfStep) / Math.sqrt(2 * Math.PI * variance)) - square / 2;
  }
  return Math.exp(log);
}
