import { readingVolts } from "../../circuit/divider.ts";
import { ohms, volts } from "../../domain/units.ts";
import { normalDensity } from "../../numerics/normal.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../chain/point-likelihoods.ts";
import { likelihoodAt } from "../chain/reading-likelihood.ts";
import type { CircuitProblem, LogNormalPart, ReadingProblem, WalkProblem } from "../problem.ts";
import { offOneByOne } from "../zero-runs.ts";
import { conductingSketch } from "./conducting-sketch.ts";
import { SOUND_OHMS } from "./sound-ohms.ts";

/**
 * ln P(one circuit's readings | the walk's shared numbers), near enough to say where to look: the
 * circuit is sound up to its first fault, whose first reading behind it says what it adds. Nothing
 * that is printed comes from here.
 */
export type Sketch = (nuisance: Nuisance) => number;

/** The likelihood of a circuit's readings by what happened to it, near enough for a sketch. */
export interface SketchParts {
  readonly sound: number;
  /** By link of the first fault. */
  readonly fouled: readonly number[];
  readonly open: readonly number[];
}

/** Weight per volt of a further fault behind the first. */
const ANOTHER = 0.03;
/** With fewer circuits than this, what conducts in one says something of the EMF. */
const ALONE = 4;

/** Whether the sketches of a walk have what conducts in them. */
export const hasLoops = ({ circuits }: WalkProblem): boolean => circuits.length < ALONE;

export function circuitSketch(walk: WalkProblem, circuit: CircuitProblem): Sketch {
  const parts = sketchParts(walk, circuit);
  const conducts = circuit.conducting.reduce((sum, { chance }) => sum + chance, 0);
  const anything = conducts * CONDUCTS ** circuit.readings.flat().length;
  const looped = hasLoops(walk) ? conductingSketch(circuit) : () => 0;
  return (nuisance) =>
    Math.log(totalOf(parts(nuisance)) + looped(nuisance) + anything + Number.MIN_VALUE);
}

export function totalOf({ sound, fouled, open }: SketchParts): number {
  let sum = sound;
  for (let i = 0; i < fouled.length; i++) sum += fouled[i]! + open[i]!;
  return sum;
}

/** Whether a path that has no loop is most likely sound. */
export const looksSound = (parts: SketchParts): boolean =>
  parts.sound > SOUND_LOOKING * totalOf(parts);
const SOUND_LOOKING = 0.8;

/** Chances of each contact, its body's state summed out. */
export const marginalFaults = (
  walk: WalkProblem,
  circuit: CircuitProblem,
): readonly { readonly fouled: number; readonly open: number; readonly sound: number }[] =>
  circuit.links.map(({ body, states }) => {
    const chance = body === null ? 0 : walk.bodies[body]!.contaminated;
    const of = (pick: "fouled" | "open" | "cable"): number =>
      (1 - chance) * states[0][pick] + chance * states[1][pick];
    const [fouled, open] = [of("fouled"), of("open") + of("cable")];
    return { fouled, open, sound: 1 - fouled - open };
  });

/** Numbers of one reading, on the way from the timer out. */
interface Seen extends ReadingProblem {
  readonly link: number;
  /** Series resistance up to its point while every contact is sound [Ω]. */
  readonly soundOhms: number;
  /** What a display that was off has at least of a zero. */
  readonly off: number;
}

const seenIn = (circuit: CircuitProblem, off: ReadonlyMap<number, number>): readonly Seen[] => {
  const wire = wireOhmsTo(circuit);
  return circuit.readings.flatMap((readings, link) =>
    readings.map((reading) => ({
      ...reading,
      link,
      soundOhms: wire[link]! + (link + 1) * SOUND_OHMS,
      off: off.get(reading.index) ?? 0,
    })),
  );
};

/**
 * @param lowerOnly A further fault behind the first can only lower what is shown: so it is, but where
 *   shared numbers are far from what they will be, the sketch has to bear with what rises, too.
 */
export function sketchParts(
  walk: WalkProblem,
  circuit: CircuitProblem,
  lowerOnly = false,
): (nuisance: Nuisance) => SketchParts {
  const faults = marginalFaults(walk, circuit);
  const readings = seenIn(circuit, offOneByOne(walk.zeroRuns));
  const { links, supply } = circuit;
  /** By link, the first reading behind its contact. */
  const first = links.map((_, i) => {
    const found = readings.findIndex(({ link }) => link >= i);
    return found < 0 ? readings.length : found;
  });
  const ifSound = new Float64Array(readings.length);
  const ifOpen = new Float64Array(readings.length + 1).fill(1);
  return (nuisance) => {
    const source = nuisance.sourceOhms[supply]!;
    for (let j = readings.length - 1; j >= 0; j--) {
      const reading = readings[j]!;
      const at = shownOf(nuisance, supply, source, reading, reading.soundOhms);
      ifSound[j] = seenAt(nuisance, reading, at);
      ifOpen[j] = ifOpen[j + 1]! * Math.max(reading.off, sketched(reading, 0, nuisance.noiseScale));
    }
    const fouled = new Array<number>(links.length);
    const open = new Array<number>(links.length);
    let sound = 1;
    let next = 0;
    for (let i = 0; i < links.length; i++) {
      const { fouled: mayFoul, open: mayOpen, sound: maySound } = faults[i]!;
      const from = first[i]!;
      const { fouled: law } = links[i]!;
      fouled[i] =
        sound * mayFoul * behindFouled(law, { readings, from, lowerOnly }, nuisance, supply);
      open[i] = sound * mayOpen * ifOpen[from]!;
      sound *= maySound;
      for (; next < readings.length && readings[next]!.link === i; next++) sound *= ifSound[next]!;
    }
    return { sound, fouled, open };
  };
}

/** A circuit that conducts shows anything: per reading, this part of all displays. */
const CONDUCTS = 2e-3;

function shownOf(
  nuisance: Nuisance,
  supply: number,
  source: number,
  reading: Seen,
  series: number,
): number {
  const emf = volts(emfAt(nuisance, supply, reading));
  const load = ohms(nuisance.loadOhms[reading.meter]!);
  return readingVolts(emf, load, ohms(source), ohms(series));
}

const seenAt = (nuisance: Nuisance, reading: Seen, at: number): number =>
  Math.max(reading.off, sketched(reading, at, nuisance.noiseScale));

/** The density of a displayed value times its step: the step's own width is in the noise. */
export function sketched(reading: ReadingProblem, at: number, scale: number): number {
  const { shown, halfStep, noise, slope, tails, floor } = reading;
  if (shown === 0) return likelihoodAt(reading, at, scale);
  const variance = noise * noise * scale * scale + (halfStep * halfStep) / 3;
  const square = ((shown - at) * (shown - at)) / variance;
  if (square > FAR) return floor;
  const height = (2 * halfStep * ROOT_2PI) / Math.sqrt(variance);
  const narrow = (1 - tails) * Math.exp(-square / 2);
  return slope * height * (narrow + (tails / 3) * Math.exp(-square / 18)) + floor;
}

/** Squared deviations beyond which a value can only have been misread. */
const FAR = 640;
const ROOT_2PI = 1 / Math.sqrt(2 * Math.PI);

interface Behind {
  readonly readings: readonly Seen[];
  readonly from: number;
  readonly lowerOnly: boolean;
}

/** Likelihood of the readings from number `from` on behind a contact that is fouled. */
function behindFouled(
  law: readonly LogNormalPart[],
  { readings, from, lowerOnly }: Behind,
  nuisance: Nuisance,
  supply: number,
): number {
  if (from >= readings.length) return 1;
  const source = nuisance.sourceOhms[supply]!;
  const reading = readings[from]!;
  // A zero says nothing about how much; what it says of an open contact is told elsewhere.
  const shown = Math.max(reading.shown, reading.halfStep);
  const emf = emfAt(nuisance, supply, reading);
  const load = nuisance.loadOhms[reading.meter]!;
  const rest = reading.soundOhms - SOUND_OHMS;
  const added = (emf * load) / shown - load - source - rest;
  const perVolt = (emf * load) / (shown * shown);
  const density = blurred(law, added, perVolt * reading.noise * nuisance.noiseScale);
  let likelihood = reading.slope * density * perVolt * 2 * reading.halfStep + reading.floor;
  const more = Math.max(0, added) - SOUND_OHMS;
  for (let j = from + 1; j < readings.length; j++) {
    const other = readings[j]!;
    const at = shownOf(nuisance, supply, source, other, other.soundOhms + more);
    const mayBe = !lowerOnly || at > other.shown;
    const another = mayBe ? ANOTHER * 2 * other.halfStep : 0;
    likelihood *= another + seenAt(nuisance, other, at);
  }
  return likelihood;
}

/** A law's density seen through a reading: its mean over a normal around `r`. */
function blurred(law: readonly LogNormalPart[], r: number, sd: number): number {
  if (r > 8 * sd) return density(law, r);
  const wide = Math.sqrt(3) * sd;
  const at = (x: number): number => density(law, x > 0 ? Math.max(x, NEAREST * sd) : x);
  return (4 * at(r) + at(r - wide) + at(r + wide)) / 6;
}

/** Nearer to 0 than this part of a reading's width, a law may be steeper than it can see. */
const NEAREST = 0.15;

function density(law: readonly LogNormalPart[], r: number): number {
  if (!(r > 0)) return 0;
  return law.reduce(
    (sum, { share, medianOhms, logSd }) =>
      sum + (share * normalDensity(Math.log(r / medianOhms) / logSd)) / (r * logSd),
    0,
  );
}
