import { readingVolts } from "../../circuit/divider.ts";
import { ohms, volts } from "../../domain/units.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../chain/point-likelihoods.ts";
import { likelihoodAt } from "../chain/reading-likelihood.ts";
import { type Curve, curvesOf, densityAt } from "../law-density.ts";
import type { CircuitProblem, ReadingProblem, WalkProblem } from "../problem.ts";
import { offOneByOne } from "../zero-runs.ts";
import { conductingSketch } from "./conducting-sketch.ts";
import { SOUND_OHMS } from "./sound-ohms.ts";

/**
 * ln P(one circuit's readings | the walk's shared numbers), near enough to say where to look: the
 * circuit is sound up to its first fault, whose first reading behind it says what it adds. Nothing
 * that is printed comes from here.
 *
 * @param least What comes to less may be given as minus infinity.
 */
export type Sketch = (nuisance: Nuisance, least?: number) => number;

/** The likelihood of a circuit's readings by what happened to it, near enough for a sketch. */
export interface SketchParts {
  readonly sound: number;
  /** By link of the first fault. */
  readonly fouled: Float64Array;
  readonly open: Float64Array;
}

/** Weight per volt of a further fault behind the first. */
const ANOTHER = 0.03;
/** With fewer circuits than this, what conducts in one says something of the EMF. */
const ALONE = 4;

/** Whether the sketches of a walk have what conducts in them. */
export const hasLoops = ({ circuits }: WalkProblem): boolean => circuits.length < ALONE;

export function circuitSketch(walk: WalkProblem, circuit: CircuitProblem): Sketch {
  const parts = sketchParts(walk, circuit);
  const conducts = conductingPart(walk, circuit);
  return (nuisance) => Math.log(totalOf(parts(nuisance)) + conducts(nuisance) + Number.MIN_VALUE);
}

/** The likelihood of a circuit's readings while it conducts: anything, of its own path in a small walk. */
export function conductingPart(
  walk: WalkProblem,
  circuit: CircuitProblem,
): (nuisance: Nuisance) => number {
  const chance = circuit.conducting.reduce((sum, one) => sum + one.chance, 0);
  const anything = chance * CONDUCTS ** circuit.readings.flat().length;
  const looped = hasLoops(walk) ? conductingSketch(circuit) : () => 0;
  return (nuisance) => looped(nuisance) + anything;
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
      link,
      soundOhms: wire[link]! + (link + 1) * SOUND_OHMS,
      off: off.get(reading.index) ?? 0,
      ...reading,
    })),
  );
};

/** The likelihood of a circuit's readings by what a link's contact is, its chances left out. */
export interface SketchFactors {
  /** By link: of the readings right behind it, the path up to there being sound. */
  readonly sound: Float64Array;
  /** By link of the first fault: of all readings behind it. */
  readonly fouled: Float64Array;
  readonly open: Float64Array;
}

/**
 * @param lowerOnly A further fault behind the first can only lower what is shown: so it is, but where
 *   shared numbers are far from what they will be, the sketch has to bear with what rises, too.
 */
export function sketchFactors(
  walk: WalkProblem,
  circuit: CircuitProblem,
  lowerOnly = false,
): (nuisance: Nuisance) => SketchFactors {
  const readings = seenIn(circuit, offOneByOne(walk.zeroRuns));
  const { links, supply } = circuit;
  /** By link, the first reading behind its contact. */
  const first = links.map((_, i) => {
    const found = readings.findIndex(({ link }) => link >= i);
    return found < 0 ? readings.length : found;
  });
  const laws = links.map(({ fouled }) => curvesOf(fouled));
  const ifOpen = new Float64Array(readings.length + 1).fill(1);
  // Written over at every call: a sketch is asked thousands of times.
  const perLink = (): Float64Array => new Float64Array(links.length);
  const factors = { sound: perLink(), fouled: perLink(), open: perLink() };
  const { sound, fouled, open } = factors;
  const behind: Behind = {
    emf: new Float64Array(readings.length),
    load: new Float64Array(readings.length),
    ...{ bells: [], source: Number.NaN, readings, lowerOnly },
  };
  let scale = Number.NaN;
  return (nuisance) => {
    if (nuisance.noiseScale !== scale) {
      scale = nuisance.noiseScale;
      behind.bells = readings.map((reading) => bellOf(reading, scale));
      for (let j = readings.length - 1; j >= 0; j--) {
        const { off } = readings[j]!;
        ifOpen[j] = ifOpen[j + 1]! * Math.max(off, heightAt(behind.bells[j]!, 0));
      }
    }
    behind.source = nuisance.sourceOhms[supply]!;
    for (let j = 0; j < readings.length; j++) {
      behind.emf[j] = emfAt(nuisance, supply, readings[j]!);
      behind.load[j] = nuisance.loadOhms[readings[j]!.meter]!;
    }
    sound.fill(1);
    for (let j = 0; j < readings.length; j++) sound[readings[j]!.link]! *= seenAt(behind, j, 0);
    for (let i = 0; i < links.length; i++) {
      fouled[i] = behindFouled(laws[i]!, behind, first[i]!);
      open[i] = ifOpen[first[i]!]!;
    }
    return factors;
  };
}

/** @param lowerOnly As in `sketchFactors`. */
export function sketchParts(
  walk: WalkProblem,
  circuit: CircuitProblem,
  lowerOnly = false,
): (nuisance: Nuisance) => SketchParts {
  const faults = marginalFaults(walk, circuit);
  const factorsAt = sketchFactors(walk, circuit, lowerOnly);
  return (nuisance) => {
    const factors = factorsAt(nuisance);
    const fouled = new Float64Array(faults.length);
    const open = new Float64Array(faults.length);
    let sound = 1;
    for (let i = 0; i < faults.length; i++) {
      const chance = faults[i]!;
      fouled[i] = sound * chance.fouled * factors.fouled[i]!;
      open[i] = sound * chance.open * factors.open[i]!;
      sound *= chance.sound * factors.sound[i]!;
    }
    return { sound, fouled, open };
  };
}

/** A circuit that conducts shows anything: per reading, this part of all displays. */
const CONDUCTS = 2e-3;

/** Readings of a circuit at one value of the shared numbers; arrays by reading. */
interface Behind {
  readonly readings: readonly Seen[];
  readonly lowerOnly: boolean;
  readonly emf: Float64Array;
  readonly load: Float64Array;
  bells: readonly Bell[];
  source: number;
}

/** What is shown of a sound path with so much more in front of it [Ω]. */
function shownBehind({ readings, emf, load, source }: Behind, j: number, more: number): number {
  const series = ohms(readings[j]!.soundOhms + more);
  return readingVolts(volts(emf[j]!), ohms(load[j]!), ohms(source), series);
}

/** The likelihood of a reading there. */
const seenAt = (behind: Behind, j: number, more: number): number =>
  Math.max(behind.readings[j]!.off, heightAt(behind.bells[j]!, shownBehind(behind, j, more)));

/**
 * The density of a displayed value times its step, at a scale of the noise, as a function of the
 * true volts: the step's own width is in the noise.
 */
interface Bell {
  readonly reading: ReadingProblem;
  readonly scale: number;
  readonly variance: number;
  /** Of the narrow normal and of the wide one. */
  readonly narrow: number;
  readonly wide: number;
}

function bellOf(reading: ReadingProblem, scale: number): Bell {
  const { halfStep, noise, slope, tails } = reading;
  const variance = noise * noise * scale * scale + (halfStep * halfStep) / 3;
  const height = (slope * 2 * halfStep * ROOT_2PI) / Math.sqrt(variance);
  return { reading, scale, variance, narrow: (1 - tails) * height, wide: (tails / 3) * height };
}

function heightAt({ reading, scale, variance, narrow, wide }: Bell, at: number): number {
  const { shown, floor } = reading;
  if (shown === 0) return likelihoodAt(reading, at, scale);
  const square = ((shown - at) * (shown - at)) / variance;
  if (square > FAR) return floor;
  // The wide normal is the ninth root of the narrow one.
  const root = Math.exp(square / -18);
  const third = root * root * root;
  return narrow * third * third * third + wide * root + floor;
}

/** The same where one value of it is asked for. */
export const sketched = (reading: ReadingProblem, at: number, scale: number): number =>
  heightAt(bellOf(reading, scale), at);

/** Squared deviations beyond which a value can only have been misread. */
const FAR = 640;
const ROOT_2PI = 1 / Math.sqrt(2 * Math.PI);

/** Likelihood of the readings from number `from` on behind a contact that is fouled. */
function behindFouled(law: readonly Curve[], behind: Behind, from: number): number {
  const { readings, source, lowerOnly } = behind;
  if (from >= readings.length) return 1;
  const reading = readings[from]!;
  // A zero says nothing about how much; what it says of an open contact is told elsewhere.
  const shown = Math.max(reading.shown, reading.halfStep);
  const whole = behind.emf[from]! * behind.load[from]!;
  const rest = reading.soundOhms - SOUND_OHMS;
  const added = whole / shown - behind.load[from]! - source - rest;
  const perVolt = whole / (shown * shown);
  const density = blurred(law, added, perVolt * reading.noise * behind.bells[from]!.scale);
  let likelihood = reading.slope * density * perVolt * 2 * reading.halfStep + reading.floor;
  const more = Math.max(0, added) - SOUND_OHMS;
  for (let j = from + 1; j < readings.length; j++) {
    const other = readings[j]!;
    const at = shownBehind(behind, j, more);
    const mayBe = !lowerOnly || at > other.shown;
    const another = mayBe ? ANOTHER * 2 * other.halfStep : 0;
    likelihood *= another + Math.max(other.off, heightAt(behind.bells[j]!, at));
  }
  return likelihood;
}

/** A law's density seen through a reading: its mean over a normal around `r`. */
function blurred(law: readonly Curve[], r: number, sd: number): number {
  if (r > 8 * sd) return density(law, r);
  const wide = ROOT_3 * sd;
  const least = NEAREST * sd;
  return (
    (4 * densityFrom(law, r, least) +
      densityFrom(law, r - wide, least) +
      densityFrom(law, r + wide, least)) /
    6
  );
}

const ROOT_3 = Math.sqrt(3);
/** Nearer to 0 than this part of a reading's width, a law may be steeper than it can see. */
const NEAREST = 0.15;

const densityFrom = (law: readonly Curve[], r: number, least: number): number =>
  r > 0 ? density(law, Math.max(r, least)) : 0;

/** Per ohm, at a resistance over 0. */
const density = (law: readonly Curve[], r: number): number => densityAt(law, Math.log(r)) / r;
