import {
  overLaneBodies,
  type PathSketch,
  type ReadLinks,
  sketchedLikelihood,
} from "./path-sketch.ts";

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

/** A mode this far below the best, in ln, is not worth a seed. */
const WORTH = 25;
/** The posterior is negligible this far below its best, in ln. */
const NEGLIGIBLE = 14;
/** Steps of the first look; many circuits tell one mode from another from further away. */
const gridFor = (circuits: number): number => (circuits > 8 ? 32 : 48);
const REACH_SDS = 8;

/**
 * A cheap sketch of the EMF's posterior, good only to say where the exact integration has to look.
 * Each circuit is sound up to its first fault, whose first reading behind it says what it adds.
 * `lanes` holds each lane's circuits that were read.
 */
export function emfRange(
  sketch: PathSketch,
  lanes: readonly (readonly ReadLinks[])[],
  emf: { readonly mean: number; readonly sd: number },
): EmfRange {
  const certain = { emf: emf.mean, sd: 0 };
  if (emf.sd === 0) return { seeds: [certain], low: emf.mean, high: emf.mean };
  const score = (at: number): number =>
    -0.5 * ((at - emf.mean) / emf.sd) ** 2 + pilotLogLikelihood(sketch, lanes, at);
  const count = gridFor(lanes.flat().length);
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

/** ln P(readings | EMF), body states summed out. */
function pilotLogLikelihood(
  sketch: PathSketch,
  lanes: readonly (readonly ReadLinks[])[],
  emf: number,
): number {
  // Likelihoods by body configuration, and what was taken out to keep them from vanishing.
  const ofPool = new Float64Array(sketch.poolBits + 1).fill(1);
  const ofLane = new Float64Array(sketch.laneBodies.length);
  let logScale = 0;
  for (const circuits of lanes) {
    ofLane.fill(1);
    for (const circuit of circuits) {
      multiply(ofLane, sketchedLikelihood(sketch, circuit, emf));
      logScale += scaled(ofLane);
    }
    multiply(ofPool, overLaneBodies(sketch, ofLane));
    logScale += scaled(ofPool);
  }
  let sum = 0;
  for (let state = 0; state < ofPool.length; state++) {
    if ((state & ~sketch.poolBits) === 0) sum += sketch.poolBodies[state]! * ofPool[state]!;
  }
  return Math.log(sum) + logScale;
}

function multiply(to: Float64Array, by: Float64Array): void {
  for (let c = 0; c < to.length; c++) to[c]! *= by[c]!;
}

/** Divides by the largest value; returns its ln. */
function scaled(values: Float64Array): number {
  let most = 0;
  for (let c = 0; c < values.length; c++) most = Math.max(most, values[c]!);
  for (let c = 0; c < values.length; c++) values[c]! /= most;
  return Math.log(most);
}
