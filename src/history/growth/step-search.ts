import type { PoolStep } from "./build-season.ts";
import type { JumpLaw } from "./contact-life.ts";
import { risenTo } from "./jumps.ts";
import { NODES } from "./level-grid.ts";
import { gapBefore } from "./season-clock.ts";
import type { SeasonData } from "./season-data.ts";
import { lawsBefore, type SeasonFit } from "./season-fit.ts";
import { allWays, alongStretch, type Stretch, stretchesOf } from "./stretches.ts";

/**
 * Steps that many contacts of a pool take between the same two walks. For each gap between walks,
 *
 *     ln of how much likelier the walks are with a step there =
 *         sum over contacts  ln [ 1 - q + q Z(risen there) / Z(not) ]
 *
 * with Z a contact's evidence over level and growth. The likeliest gap is taken for a step if its
 * odds allow it; then the others are weighed again. Each step found comes with its chance, the others
 * being there with theirs: a contact goes through it as touched with q times that. All rates of
 * growth are weighed, as before any walk: what classes were taken for without the step speaks against
 * it, and between rates of a coarse grid every steady growth has steps.
 */
export interface StepSearch {
  /** In order. */
  readonly steps: readonly PoolStep[];
  /** Steps a week, each counted by its chance. */
  readonly perWeek: number;
}

/** Steps a week before any walk, and what that is worth [weeks]. Judgement. */
const STEPS_BEFORE = 0.025;
const WORTH = 16;
const MOST_STEPS = 10;
/** By walk: ln Z(risen in front of it) / Z(not), steps known before being in both. */
function risenByWalk(stretch: Stretch, known: readonly PoolStep[], jumps: JumpLaw): Float64Array {
  const answer = new Float64Array(stretch.to);
  alongStretch(stretch, known, jumps, (walk, past, next) => {
    let [risen, without] = [0, 0];
    for (let at = 0; at < past.length; at += NODES) {
      risen += risenTo(jumps, past, next, at);
      for (let c = at; c < at + NODES; c++) without += past[c]! * next[c]!;
    }
    answer[walk] = Math.log((risen + 1e-300) / (without + 1e-300));
  });
  return answer;
}

/** By walk: ln of how much likelier all walks are with one more step in front of it. */
function evidenceByWalk(
  stretches: readonly Stretch[],
  steps: readonly PoolStep[],
  jumps: JumpLaw,
  walks: number,
): Float64Array {
  const { touched } = jumps;
  const evidence = new Float64Array(walks);
  for (const stretch of stretches) {
    const risen = risenByWalk(stretch, steps, jumps);
    for (let w = stretch.from + 1; w < stretch.to; w++)
      evidence[w]! += Math.log(1 - touched + touched * Math.exp(Math.min(500, risen[w]!)));
  }
  return evidence;
}

const isIn = (steps: readonly PoolStep[], walk: number): boolean =>
  steps.some((step) => step.walk === walk);

/** Chance of these odds [ln]. */
const chanceOf = (lnOdds: number): number => 1 / (1 + Math.exp(-lnOdds));

/**
 * Steps a week, given the steps found and how likely each other gap has one: their expected number
 * and the rate settle each other (EM).
 */
function stepRate(evidence: Float64Array, steps: readonly PoolStep[], clock: Float64Array): number {
  const weeks = clock.at(-1)! - clock[0]!;
  let rate = STEPS_BEFORE;
  for (let turn = 0; turn < 20; turn++) {
    let count = steps.reduce((sum, { chance }) => sum + chance, 0);
    for (let w = 1; w < evidence.length; w++) {
      if (isIn(steps, w)) continue;
      count += chanceOf(Math.log(rate * (clock[w]! - clock[w - 1]!)) + evidence[w]!);
    }
    rate = (count + STEPS_BEFORE * WORTH) / (weeks + WORTH);
  }
  return rate;
}

/**
 * A gap whose odds of a step are over this is given one [ln]: every contact may still have taken
 * none there, so that a step too many costs little, and one too few passes for growth.
 */
const LEAST_ODDS = -1.2;

/** Finds the pool's steps, the likeliest first; then the chance of each beside the others. */
export function findSteps(season: SeasonData, fit: SeasonFit): StepSearch {
  const stretches = stretchesOf(season, fit, allWays, () => true, lawsBefore(season));
  const walks = season.days.length;
  const weigh = (known: readonly PoolStep[]) => {
    const evidence = evidenceByWalk(stretches, known, fit.jumps, walks);
    const perWeek = stepRate(evidence, known, season.clock);
    const lnOdds = (w: number): number =>
      Math.log(perWeek * gapBefore(season.clock, w)) + evidence[w]!;
    return { perWeek, lnOdds };
  };
  const beside = (step: PoolStep, _: number, all: readonly PoolStep[]): PoolStep => {
    const { lnOdds } = weigh(all.filter((other) => other !== step));
    return { ...step, chance: chanceOf(lnOdds(step.walk)) };
  };
  let steps: readonly PoolStep[] = [];
  for (;;) {
    const { perWeek, lnOdds } = weigh(steps);
    let [best, most] = [-1, LEAST_ODDS];
    for (let w = 1; w < walks; w++)
      if (!isIn(steps, w) && lnOdds(w) > most) [best, most] = [w, lnOdds(w)];
    if (best < 0 || steps.length === MOST_STEPS) {
      steps = steps.toSorted((a, b) => a.walk - b.walk);
      return { steps: steps.length < 2 ? steps : steps.map(beside), perWeek };
    }
    steps = [...steps, { walk: best, chance: chanceOf(most) }];
  }
}
