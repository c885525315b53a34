import type { LogNormal } from "../domain/pool.ts";
import { normalDensity } from "../numerics/normal.ts";
import { type ChainPrior, logConfigurationPrior, OPEN_PER_FOULED } from "./chain-prior.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { likelihoodAt } from "./display-likelihood.ts";

/** One circuit's readings by link. */
export type ReadLinks = readonly (readonly CircuitReading[])[];

/** What a sketch of any circuit of the pool needs to know, worked out once. */
export interface PathSketch {
  readonly fouled: LogNormal;
  /** P(body configuration), of the connectors that a lane shares and of those that the pool does. */
  readonly laneBodies: Float64Array;
  readonly poolBodies: Float64Array;
  readonly poolBits: number;
  /** P(the contact is faulty | body configuration), by link. */
  readonly fault: readonly Float64Array[];
  /** P(the first fault is at link i | body configuration); one more entry for none. */
  readonly firstFault: readonly Float64Array[];
}

/** What a sound contact adds, near enough for a sketch [Ω]. */
const SOUND_OHMS = 0.28;

export function pathSketch(prior: ChainPrior, fouled: LogNormal): PathSketch {
  const { configurations, poolBits } = prior;
  const each = Float64Array.from({ length: configurations }, (_, c) => c);
  const chance = (mask: number): Float64Array =>
    each.map((c) => Math.exp(logConfigurationPrior(prior, c, mask)));
  const fault = prior.links.map((link, i) =>
    each.map((c) => {
      const body = link.shared && (c >> prior.sharedBefore[i]!) & 1 ? 1 : 0;
      return 1 - link.sound[body];
    }),
  );
  const sound = new Float64Array(configurations).fill(1);
  const firstFault = fault.map((here) => {
    const first = here.map((chanceHere, c) => sound[c]! * chanceHere);
    for (let c = 0; c < configurations; c++) sound[c]! *= 1 - here[c]!;
    return first;
  });
  return {
    fouled,
    laneBodies: chance((configurations - 1) & ~poolBits),
    poolBodies: chance(poolBits),
    poolBits,
    fault,
    firstFault: [...firstFault, sound],
  };
}

/**
 * P(one circuit's readings | EMF, body configuration), near enough to say where to look: the circuit
 * is sound up to its first fault, whose first reading behind it says what it adds.
 */
export function sketchedLikelihood(
  { fouled, firstFault }: PathSketch,
  circuit: ReadLinks,
  emf: number,
): Float64Array {
  const likelihood = new Float64Array(firstFault[0]!.length);
  let sound = 1;
  for (let i = 0; i < circuit.length; i++) {
    const behind = sound * behindFault(circuit, i, emf, fouled);
    const first = firstFault[i]!;
    for (let c = 0; c < likelihood.length; c++) likelihood[c]! += first[c]! * behind;
    for (const { loadOhms, loopOhms, display } of circuit[i]!) {
      sound *= likelihoodAt(display, (emf * loadOhms) / (loopOhms + (i + 1) * SOUND_OHMS));
    }
  }
  const none = firstFault[circuit.length]!;
  for (let c = 0; c < likelihood.length; c++) likelihood[c]! += none[c]! * sound;
  return likelihood;
}

/** The sum over the lane's bodies of P(bodies) * value: by state of the pool's bodies. */
export function overLaneBodies(
  { laneBodies, poolBits }: PathSketch,
  values: Float64Array,
): Float64Array {
  const sums = new Float64Array(poolBits + 1);
  for (let c = 0; c < values.length; c++) sums[c & poolBits]! += laneBodies[c]! * values[c]!;
  return sums;
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
