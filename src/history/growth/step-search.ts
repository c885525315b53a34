import type { JumpLaw } from "./contact-life.ts";
import { stepForward } from "./jumps.ts";
import { gapBefore } from "./season-clock.ts";
import type { SeasonData } from "./season-data.ts";
import type { SeasonFit } from "./season-fit.ts";
import { alongStretch, type Stretch, stretchesOf, through } from "./stretches.ts";

/**
 * Steps that many contacts of a pool take between the same two walks. For each gap between walks,
 *
 *     ln of how much likelier the walks are with a step there =
 *         sum over contacts  ln [ 1 - q + q Z(risen there) / Z(not) ]
 *
 * with Z a contact's evidence over level and growth. The likeliest gap is taken for a step if its
 * odds allow it; then the others are weighed again.
 */
export interface StepSearch {
  /** Each in front of this walk, in order. */
  readonly steps: readonly number[];
  /** Steps a week, those counted that are likely only. */
  readonly perWeek: number;
}

/** Steps a week before any walk, and what that is worth [weeks]. Judgement. */
const STEPS_BEFORE = 0.025;
const WORTH = 16;
const MOST_STEPS = 10;
/** By walk: ln Z(risen in front of it) / Z(not), steps known before being in both. */
function risenByWalk(stretch: Stretch, known: readonly number[], jumps: JumpLaw): Float64Array {
  const answer = new Float64Array(stretch.to);
  const sure = { ...jumps, touched: 1 };
  alongStretch(stretch, known, jumps, (walk, past, next) => {
    const risen = through(stepForward, sure, past);
    let [with1, without] = [0, 0];
    for (let c = 0; c < past.length; c++) {
      with1 += risen[c]! * next[c]!;
      without += past[c]! * next[c]!;
    }
    answer[walk] = Math.log((with1 + 1e-300) / (without + 1e-300));
  });
  return answer;
}

/** By walk: ln of how much likelier all walks are with one more step in front of it. */
function evidenceByWalk(
  stretches: readonly Stretch[],
  steps: readonly number[],
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

/**
 * Steps a week, given the steps found and how likely each other gap has one: their expected number
 * and the rate settle each other (EM).
 */
function stepRate(evidence: Float64Array, steps: readonly number[], clock: Float64Array): number {
  const weeks = clock.at(-1)! - clock[0]!;
  let rate = STEPS_BEFORE;
  for (let turn = 0; turn < 20; turn++) {
    let count = steps.length;
    for (let w = 1; w < evidence.length; w++) {
      if (steps.includes(w)) continue;
      const odds = rate * (clock[w]! - clock[w - 1]!) * Math.exp(evidence[w]!);
      count += odds / (1 + odds);
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

/** Finds the pool's steps, the likeliest first. */
export function findSteps(season: SeasonData, fit: SeasonFit): StepSearch {
  const stretches = stretchesOf(season, fit);
  const walks = season.days.length;
  const steps: number[] = [];
  for (;;) {
    const evidence = evidenceByWalk(stretches, steps, fit.jumps, walks);
    const perWeek = stepRate(evidence, steps, season.clock);
    let [best, most] = [-1, LEAST_ODDS];
    for (let w = 1; w < walks; w++) {
      if (steps.includes(w)) continue;
      const weeks = gapBefore(season.clock, w);
      const ln = Math.log(perWeek * weeks) + evidence[w]!;
      if (ln > most) [best, most] = [w, ln];
    }
    if (best < 0 || steps.length === MOST_STEPS)
      return { steps: steps.toSorted((a, b) => a - b), perWeek };
    steps.push(best);
  }
}
