import type { ChainPrior } from "./chain-prior.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import { logSumExp } from "./walk-evidence.ts";

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
const GRID = 64;
const REACH_SDS = 8;

/**
 * A cheap sketch of the EMF's posterior, good only to say where the exact integration has to look.
 * Each circuit is sound up to its first fault and says nothing about the EMF behind it; the bodies
 * that the pool shares are all clean or all contaminated.
 */
export function emfRange(
  prior: ChainPrior,
  circuits: readonly (readonly (readonly CircuitReading[])[])[],
  emf: { readonly mean: number; readonly sd: number },
): EmfRange {
  const score = (at: number): number =>
    -0.5 * ((at - emf.mean) / emf.sd) ** 2 +
    logSumExp([0, 1].map((body) => pilotLogLikelihood(prior, circuits, at, body as 0 | 1)));
  const step = (2 * REACH_SDS * emf.sd) / GRID;
  const grid = Array.from({ length: GRID + 1 }, (_, i) => {
    const at = emf.mean + (i - GRID / 2) * step;
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
    if (bend > -1 && bend < -1e-9) return { at, value, sd: step / Math.sqrt(-bend) };
    step /= 3;
  }
  return { at, value, sd: step };
}

function pilotLogLikelihood(
  prior: ChainPrior,
  circuits: readonly (readonly (readonly CircuitReading[])[])[],
  emf: number,
  poolBody: 0 | 1,
): number {
  let sum = 0;
  for (const [i, link] of prior.links.entries()) {
    if (!link.shared || (prior.poolBits & (1 << prior.sharedBefore[i]!)) === 0) continue;
    sum += Math.log(Math.max(1e-300, poolBody ? link.contaminated : 1 - link.contaminated));
  }
  for (const circuit of circuits) sum += Math.log(pilotCircuit(prior, circuit, emf, poolBody));
  return sum;
}

/** Sum over the place of the circuit's first fault. */
function pilotCircuit(
  prior: ChainPrior,
  circuit: readonly (readonly CircuitReading[])[],
  emf: number,
  poolBody: 0 | 1,
): number {
  let total = 0;
  let soundSoFar = 1;
  for (let i = 0; i < circuit.length; i++) {
    const link = prior.links[i]!;
    const ofPool = (prior.poolBits & (1 << prior.sharedBefore[i]!)) !== 0 && link.shared;
    const contaminated = ofPool ? poolBody : link.contaminated;
    const sound = link.sound[0] + contaminated * (link.sound[1] - link.sound[0]);
    total += soundSoFar * (1 - sound) * anyResistance(circuit, i);
    soundSoFar *= sound;
    for (const { loadOhms, loopOhms, display } of circuit[i]!) {
      const series = loopOhms + (i + 1) * SOUND_OHMS;
      soundSoFar *= likelihoodAt(display, (emf * loadOhms) / series);
    }
  }
  return total + soundSoFar;
}

/** Likelihood of the readings from link `i` on behind a fault of unknown resistance. */
function anyResistance(circuit: readonly (readonly CircuitReading[])[], from: number): number {
  let product = 1;
  let first = true;
  for (let i = from; i < circuit.length; i++) {
    for (const { display } of circuit[i]!) {
      const step = 2 * display.halfStep;
      product *= first ? 0.2 * step : 0.5 * Math.min(1, step / (2.5 * display.noise));
      first = false;
    }
  }
  return product;
}
