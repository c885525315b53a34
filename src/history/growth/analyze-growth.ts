import { assumedAgeing } from "../../domain/assumed-ageing.ts";
import { buildSeason, type PoolStep, type SeasonInput, type Stroke } from "./build-season.ts";
import type { JumpLaw } from "./contact-life.ts";
import { learnNoise, withNoise } from "./learn-noise.ts";
import type { AheadLaw } from "./path-crossing.ts";
import type { Noise } from "./path-equations.ts";
import { idleStretches, type SeasonClock } from "./season-clock.ts";
import type { SeasonData } from "./season-data.ts";
import { firstState, fitSeason, type SeasonFit } from "./season-fit.ts";
import { findSteps } from "./step-search.ts";
import { findStrokes } from "./stroke-search.ts";
import { weighIdle } from "./weigh-idle.ts";

/** All that a season's walks say of growth. */
export interface GrowthAnalysis {
  readonly season: SeasonData;
  readonly fit: SeasonFit;
  readonly clock: SeasonClock;
  readonly steps: readonly PoolStep[];
  readonly strokes: readonly Stroke[];
  /** The meter's noise in units of the pool file's. */
  readonly noise: number;
  readonly ahead: AheadLaw;
}

/** Before any walk. */
const JUMPS: JumpLaw = {
  cure: assumedAgeing.film.value,
  touched: assumedAgeing.touched.value,
  rise: assumedAgeing.rise.value,
};
const SCATTER = assumedAgeing.scatter.value;
/** Rounds in which contacts and supply settle each other; at first, and when something is added, fewer. */
const ROUNDS = 3;
const FEWER = 2;

/** Fits a season: first plainly, then with its own noise, its idle weeks, strokes and steps. */
export function analyzeGrowth(input: SeasonInput): GrowthAnalysis {
  let clock: SeasonClock = { idle: idleStretches(input.days), factor: 1 };
  const plain = buildSeason(input, { clock, steps: [], strokes: [] });
  const first = fitSeason(plain, firstState(plain), JUMPS, SCATTER, FEWER);
  const { noise, scatter } = noiseBetweenSteps(input, clock, plain, first);
  const build = (steps: readonly PoolStep[], strokes: readonly Stroke[]): SeasonData =>
    withNoise(buildSeason(input, { clock, steps, strokes }), noise);
  let factors: AheadLaw["idleFactors"] = [{ factor: 1, share: 1 }];
  if (clock.idle.length > 0) {
    factors = weighIdle(input, clock, first);
    const best = factors.reduce((a, b) => (b.share > a.share ? b : a));
    clock = { ...clock, factor: best.factor };
  }
  let season = build([], []);
  let fit = fitSeason(season, first, JUMPS, scatter, ROUNDS);
  const strokes = findStrokes(season, fit);
  if (strokes.length > 0) {
    season = build([], strokes);
    // What was ruled out as growth up to a stroke may well be how it grows before and after.
    const question = fit.question.map((path) => path.map(() => []));
    fit = fitSeason(season, { ...fit, question }, JUMPS, scatter, FEWER);
  }
  const { steps, perWeek } = findSteps(season, fit);
  if (steps.length > 0) {
    season = build(steps, strokes);
    fit = fitSeason(season, fit, JUMPS, scatter, FEWER);
  }
  const ahead = aheadLaw(input, clock, perWeek, factors);
  return { season, fit, clock, steps, strokes, noise, ahead };
}

function aheadLaw(
  { days, from }: SeasonInput,
  { idle }: SeasonClock,
  stepsPerWeek: number,
  idleFactors: AheadLaw["idleFactors"],
): AheadLaw {
  const weeks = (from - days[0]!) / 7;
  const idleDays = idle.reduce((sum, [begin, end]) => sum + end - begin, 0);
  return {
    stepsPerWeek,
    touched: JUMPS.touched,
    rise: JUMPS.rise,
    idlePerWeek: idle.length === 0 ? 0 : idle.length / Math.max(1, weeks - idleDays / 7),
    idleWeeks: idle.length === 0 ? 0 : idleDays / 7 / idle.length,
    idleFactors,
  };
}

/** Noise and scatter, what looks like a step at first sight being none of them. */
function noiseBetweenSteps(
  input: SeasonInput,
  clock: SeasonClock,
  plain: SeasonData,
  first: SeasonFit,
): Noise {
  const { steps } = findSteps(plain, first);
  if (steps.length === 0) return learnNoise(plain, first);
  const stepped = buildSeason(input, { clock, steps, strokes: [] });
  return learnNoise(stepped, fitSeason(stepped, firstState(stepped), JUMPS, SCATTER, FEWER));
}
