import { normalDensity } from "../distributions/normal.ts";
import type { LogNormal } from "../domain/pool.ts";
import { type ChainPrior, logConfigurationPrior, OPEN_PER_FOULED } from "./chain-prior.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import { logSumExp } from "./walk-evidence.ts";

/** One circuit's readings by link. */
type ReadLinks = readonly (readonly CircuitReading[])[];

/** Where the EMF's posterior has a mode, roughly. */
export interface EmfSeed {
  readonly emf: number;
  readonly sd: number;
}

/** Where the exact integration has to look. */
export interface EmfRange {
  readonly seeds: readonly EmfSeed[];
  /** Beyond these the posterior is negligible [V]. */
  readonly low: number;
  readonly high: number;
}

/** What a sound contact adds, near enough for a pilot [Ω]. */
const SOUND_OHMS = 0.28;
/** A mode this far below the best, in ln, is not worth a seed. */
const WORTH = 25;
/** The posterior is negligible this far below its best, in ln. */
const NEGLIGIBLE = 14;
/** Steps of the first look; many circuits tell one mode from another from further away. */
const gridFor = (circuits: number): number => (circuits > 8 ? 32 : 48);
const REACH_SDS = 8;

/**
 * A cheap sketch of the EMF's posterior, good only to say where the exact integration has to look.
 * Each circuit is sound up to its first fault, whose first reading behind it says what it adds; the bodies
 * that the pool shares are all clean or all contaminated.
 */
export function emfRange(
  prior: ChainPrior,
  fouled: LogNormal,
  circuits: readonly ReadLinks[],
  emf: { readonly mean: number; readonly sd: number },
): EmfRange {
  const certain = { emf: emf.mean, sd: 0 };
  if (emf.sd === 0) return { seeds: [certain], low: emf.mean, high: emf.mean };
  const sketch = sketchOf(prior, fouled, circuits);
  const score = (at: number): number =>
    -0.5 * ((at - emf.mean) / emf.sd) ** 2 + logSumExp(pilotLogLikelihoods(sketch, at));
  const count = gridFor(circuits.length);
  const step = (2 * REACH_SDS * emf.sd) / count;
  const grid = Array.from({ length: count + 1 }, (_, i) => {
    const at = emf.mean + (i - count / 2) * step;
    return { at, value: score(at) };
  });
  const modes = grid
    .filter(
      ({ value }, i) =>
        value >= (grid[i - 1]?.value ?? Number.NEGATIVE_INFINITY) &&
        value >= (grid[i + 1]?.value ?? Number.NEGATIVE_INFINITY),
    )
    .map(({ at }) => climb(score, at, step));
  const best = Math.max(...modes.map(({ value }) => value));
  const seeds = modes
    .filter(({ value }) => value > best - WORTH)
    .map(({ at, sd }) => ({ emf: at, sd }));
  const alive = grid.filter(({ value }) => value > best - NEGLIGIBLE).map(({ at }) => at);
  return {
    seeds,
    low: Math.min(...alive, ...seeds.map(({ emf: at, sd }) => at - 5 * sd)),
    high: Math.max(...alive, ...seeds.map(({ emf: at, sd }) => at + 5 * sd)),
  };
}

/** What the pilot needs to know, worked out once. */
interface Sketch {
  readonly fouled: LogNormal;
  readonly circuits: readonly ReadLinks[];
  /** ln P(the pool's bodies are all clean, all contaminated). */
  readonly logBodies: readonly [number, number];
  /** P(the first fault is at link i), by the pool's bodies; one more entry for none. */
  readonly firstFault: readonly [readonly number[], readonly number[]];
}

function sketchOf(prior: ChainPrior, fouled: LogNormal, circuits: readonly ReadLinks[]): Sketch {
  const ofPool = (i: number): boolean =>
    prior.links[i]!.shared && (prior.poolBits & (1 << prior.sharedBefore[i]!)) !== 0;
  const logBody = (body: 0 | 1): number =>
    logConfigurationPrior(prior, body === 0 ? 0 : prior.poolBits, prior.poolBits);
  const firstFault = (body: 0 | 1): readonly number[] => {
    let sound = 1;
    const faults = prior.links.map((link, i) => {
      const contaminated = ofPool(i) ? body : link.contaminated;
      const stays = link.sound[0] + contaminated * (link.sound[1] - link.sound[0]);
      const fault = sound * (1 - stays);
      sound *= stays;
      return fault;
    });
    return [...faults, sound];
  };
  return {
    fouled,
    circuits,
    logBodies: [logBody(0), logBody(1)],
    firstFault: [firstFault(0), firstFault(1)],
  };
}

/** Zooms in on a mode until its curvature is resolved. */
function climb(
  score: (at: number) => number,
  from: number,
  firstStep: number,
): { at: number; value: number; sd: number } {
  let at = from;
  let step = firstStep;
  let value = score(at);
  for (let turn = 0; turn < 40; turn++) {
    const left = score(at - step);
    const right = score(at + step);
    if (left > value || right > value) {
      at += left > right ? -step : step;
      value = Math.max(left, right);
      continue;
    }
    const bend = left + right - 2 * value;
    if (bend > -1 && bend < -1e-9) {
      // The top of the parabola through the three.
      return { at: at + (step * (left - right)) / (2 * bend), value, sd: step / Math.sqrt(-bend) };
    }
    step /= 3;
  }
  return { at, value, sd: step };
}

/** ln P(readings | EMF) with the pool's bodies clean, and contaminated. */
function pilotLogLikelihoods(sketch: Sketch, emf: number): readonly [number, number] {
  let [clean, contaminated] = [...sketch.logBodies];
  for (const circuit of sketch.circuits) {
    const likelihood = pilotCircuit(sketch, circuit, emf);
    clean += Math.log(likelihood[0]);
    contaminated += Math.log(likelihood[1]);
  }
  return [clean, contaminated];
}

/** Sum over the place of the circuit's first fault, with the pool's bodies clean or contaminated. */
function pilotCircuit(
  { fouled, firstFault }: Sketch,
  circuit: ReadLinks,
  emf: number,
): readonly [number, number] {
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
  let ohms: number | null = null;
  for (let i = from; i < circuit.length; i++) {
    for (const { loadOhms, loopOhms, display } of circuit[i]!) {
      open *= likelihoodAt(display, 0);
      const series = loopOhms + i * SOUND_OHMS;
      if (ohms === null) {
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

/** Weight per volt of a further fault behind the first. */
const ANOTHER = 0.03;

/** The log-normal's density seen through a reading: its mean over a normal around `ohms`. */
function blurredDensity(prior: LogNormal, ohms: number, sd: number): number {
  const at = (r: number): number => {
    if (r <= 0) return 0;
    const z = Math.log(r / prior.medianOhms) / prior.logSd;
    return normalDensity(z) / (r * prior.logSd);
  };
  if (ohms > 8 * sd) return at(ohms);
  const wide = Math.sqrt(3) * sd;
  return (4 * at(ohms) + at(ohms - wide) + at(ohms + wide)) / 6;
}
