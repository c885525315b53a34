import { normalDensity } from "../distributions/normal.ts";
import type { LogNormal } from "../domain/pool.ts";
import { type ChainPrior, logConfigurationPrior, OPEN_PER_FOULED } from "./chain-prior.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { likelihoodAt } from "./display-likelihood.ts";

/** One circuit's readings by link. */
export type ReadLinks = readonly (readonly CircuitReading[])[];

/** By the state of the bodies that the pool shares: all clean, all contaminated. */
type ByBodies<Value> = readonly [clean: Value, contaminated: Value];

/** What a sketch of any circuit of the pool needs to know, worked out once. */
export interface PathSketch {
  readonly fouled: LogNormal;
  /** ln P(the pool's bodies are all clean, all contaminated). */
  readonly logBodies: ByBodies<number>;
  /** P(a contact is faulty), by link. */
  readonly fault: ByBodies<readonly number[]>;
  /** P(the first fault is at link i); one more entry for none. */
  readonly firstFault: ByBodies<readonly number[]>;
}

/** What a sound contact adds, near enough for a sketch [Ω]. */
const SOUND_OHMS = 0.28;

export function pathSketch(prior: ChainPrior, fouled: LogNormal): PathSketch {
  const ofPool = (i: number): boolean =>
    prior.links[i]!.shared && (prior.poolBits & (1 << prior.sharedBefore[i]!)) !== 0;
  const logBody = (body: 0 | 1): number =>
    logConfigurationPrior(prior, body === 0 ? 0 : prior.poolBits, prior.poolBits);
  const faults = (body: 0 | 1): readonly number[] =>
    prior.links.map((link, i) => {
      const contaminated = ofPool(i) ? body : link.contaminated;
      return 1 - (link.sound[0] + contaminated * (link.sound[1] - link.sound[0]));
    });
  const fault = [faults(0), faults(1)] as const;
  return {
    fouled,
    logBodies: [logBody(0), logBody(1)],
    fault,
    firstFault: [firstOf(fault[0]), firstOf(fault[1])],
  };
}

function firstOf(faults: readonly number[]): readonly number[] {
  let sound = 1;
  const first = faults.map((fault) => {
    const here = sound * fault;
    sound *= 1 - fault;
    return here;
  });
  return [...first, sound];
}

/**
 * P(one circuit's readings | EMF), near enough to say where to look: the circuit is sound up to its
 * first fault, whose first reading behind it says what it adds.
 */
export function sketchedLikelihood(
  { fouled, firstFault }: PathSketch,
  circuit: ReadLinks,
  emf: number,
): ByBodies<number> {
  let clean = 0;
  let contaminated = 0;
  let sound = 1;
  for (let i = 0; i < circuit.length; i++) {
    const behind = sound * behindFault(circuit, i, emf, fouled);
    clean += firstFault[0][i]! * behind;
    contaminated += firstFault[1][i]! * behind;
    for (const { loadOhms, loopOhms, display } of circuit[i]!) {
      sound *= likelihoodAt(display, (emf * loadOhms) / (loopOhms + (i + 1) * SOUND_OHMS));
    }
  }
  const none = circuit.length;
  return [clean + firstFault[0][none]! * sound, contaminated + firstFault[1][none]! * sound];
}

/**
 * Likelihood of the readings from link `from` on behind a contact that is fouled or open, all others
 * sound: the first reading says how much the contact adds, the rest agree with it or do not.
 */
function behindFault(circuit: ReadLinks, from: number, emf: number, fouled: LogNormal): number {
  let added = 1;
  let open = OPEN_PER_FOULED;
  let ohms = UNREAD;
  for (let i = from; i < circuit.length; i++) {
    for (const { loadOhms, loopOhms, display } of circuit[i]!) {
      open *= likelihoodAt(display, 0);
      const series = loopOhms + i * SOUND_OHMS;
      if (ohms === UNREAD) {
        // A zero says nothing about how much; what it says of an open contact is in `open`.
        const volts = Math.max(display.shown, display.halfStep);
        ohms = (emf * loadOhms) / volts - series;
        const perVolt = (emf * loadOhms) / (volts * volts);
        const density = blurredDensity(fouled, ohms, perVolt * display.noise);
        added *= display.slope * density * perVolt * 2 * display.halfStep + display.floor;
      } else {
        const shown = (emf * loadOhms) / (series + Math.max(0, ohms));
        const { noise, halfStep, slope, floor } = display;
        const z = (display.shown - shown) / noise;
        // Noise of two readings: a normal of twice the variance.
        const agrees = (2 * halfStep * Math.exp(-0.25 * z * z)) / (noise * Math.sqrt(4 * Math.PI));
        added *= ANOTHER * 2 * halfStep + slope * agrees + floor;
      }
    }
  }
  return (added + open) / (1 + OPEN_PER_FOULED);
}

/** No reading has said yet how much the contact adds. */
const UNREAD = Number.NEGATIVE_INFINITY;

/** Weight per volt of a further fault behind the first. */
const ANOTHER = 0.03;

/** The log-normal's density seen through a reading: its mean over a normal around `ohms`. */
function blurredDensity(prior: LogNormal, ohms: number, sd: number): number {
  if (ohms > 8 * sd) return density(prior, ohms);
  const wide = Math.sqrt(3) * sd;
  const [left, right] = [density(prior, ohms - wide), density(prior, ohms + wide)];
  return (4 * density(prior, ohms) + left + right) / 6;
}

function density({ medianOhms, logSd }: LogNormal, ohms: number): number {
  if (ohms <= 0) return 0;
  return normalDensity(Math.log(ohms / medianOhms) / logSd) / (ohms * logSd);
}
