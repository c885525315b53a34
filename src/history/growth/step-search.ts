import { freshEntry } from "./contact-filter.ts";
import type { ContactLife, JumpLaw, Stage } from "./contact-life.ts";
import { growthRows } from "./growth-rows.ts";
import { stepBackward, stepForward } from "./jumps.ts";
import { NODES, nodeOf, nodeOfOhms, ohmsAt, STEP } from "./level-grid.ts";
import type { SeasonData } from "./season-data.ts";
import type { SeasonFit } from "./season-fit.ts";

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
/** Contacts that were never over this have nothing to say [ohm]. */
const SEEN = 3;
const EVERY = 3;
const rows = growthRows.flatMap((_, r) => (r % EVERY === 0 ? [r] : []));

const CELLS = rows.length * NODES;

/** A stretch between works of one contact, its factors by walk. */
interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly before: Float64Array;
  readonly factors: readonly Float64Array[];
}

/** exp of a walk's row of the table, over the levels at the stretch's end, the largest being 1. */
function factorOf(table: Float64Array, w: number, ago: number): Float64Array {
  const factor = new Float64Array(CELLS);
  const own = table.subarray(w * NODES, (w + 1) * NODES);
  const most = own.reduce((top, ln) => Math.max(top, ln), Number.NEGATIVE_INFINITY);
  const likelihood = own.map((ln) => Math.exp(ln - most));
  rows.forEach((r, n) => {
    const { kind, rate } = growthRows[r]!;
    for (let i = 0; i < NODES; i++) {
      const node =
        kind === "ohm"
          ? ohmsAt[i]! > rate * ago
            ? nodeOfOhms(ohmsAt[i]! - rate * ago)
            : 0
          : nodeOf(Math.log(ohmsAt[0]!) + STEP * i - rate * ago);
      const low = node | 0;
      factor[n * NODES + i] =
        likelihood[low]! + (node - low) * (likelihood[low + 1]! - likelihood[low]!);
    }
  });
  return factor;
}

function stretchesOf(season: SeasonData, fit: SeasonFit): readonly Stretch[] {
  return fit.lives.flat(2).flatMap(({ life, table }): Stretch[] => {
    const { mean } = fit.moments[life.path]![life.position]!;
    const begins = life.stages.filter(({ entry }) => entry.kind !== "step");
    return begins.flatMap((stage, i): Stretch[] => {
      const to = begins[i + 1]?.from ?? life.stages.at(-1)!.to;
      if (to - stage.from < 3) return [];
      if (!mean.subarray(stage.from, to).some((ohms) => ohms > SEEN)) return [];
      return [stretchOf(season, fit, life, stage, table, to)];
    });
  });
}

function stretchOf(
  season: SeasonData,
  fit: SeasonFit,
  life: ContactLife,
  stage: Stage,
  table: Float64Array,
  to: number,
): Stretch {
  const entered = freshEntry(stage, fit.start);
  const share = fit.before[life.group]!;
  const before = new Float64Array(CELLS);
  rows.forEach((r, n) => {
    for (let i = 0; i < NODES; i++)
      before[n * NODES + i] = share[r]! * entered[r * NODES + i]! + 1e-12;
  });
  const factors = Array.from({ length: to - stage.from }, (_, w) =>
    factorOf(table, stage.from + w, stage.ends - season.clock[stage.from + w]!),
  );
  return { from: stage.from, to, before, factors };
}

/** One row after the other through a step. */
function through(move: typeof stepForward, jumps: JumpLaw, from: Float64Array): Float64Array {
  const into = new Float64Array(CELLS);
  for (let n = 0; n < rows.length; n++) move(jumps, from, n * NODES, into);
  return into;
}

function scale(values: Float64Array): number {
  let most = 0;
  for (const value of values) if (value > most) most = value;
  for (let i = 0; i < values.length; i++) values[i]! /= most;
  return Math.log(most);
}

/** By walk: ln Z(risen in front of it) / Z(not), steps known before being in both. */
function risenByWalk(stretch: Stretch, known: readonly number[], jumps: JumpLaw): Float64Array {
  const { from, to, before, factors } = stretch;
  const later: Float64Array[] = [];
  let here = new Float64Array(CELLS).fill(1);
  for (let w = to - 1; w > from; w--) {
    const factor = factors[w - from]!;
    here = here.map((value, c) => value * factor[c]!);
    scale(here);
    // What is behind walk w's own values, a step known there not yet taken.
    later[w] = here;
    if (known.includes(w)) here = through(stepBackward, jumps, here) as Float64Array<ArrayBuffer>;
  }
  const answer = new Float64Array(to);
  const sure = { ...jumps, touched: 1 };
  let past = Float64Array.from(before);
  for (let w = from; w + 1 < to; w++) {
    const factor = factors[w - from]!;
    for (let c = 0; c < CELLS; c++) past[c]! *= factor[c]!;
    scale(past);
    const next = later[w + 1]!;
    if (known.includes(w + 1)) {
      past = through(stepForward, jumps, past) as Float64Array<ArrayBuffer>;
      continue;
    }
    const risen = through(stepForward, sure, past);
    let [with1, without] = [0, 0];
    for (let c = 0; c < CELLS; c++) {
      with1 += risen[c]! * next[c]!;
      without += past[c]! * next[c]!;
    }
    answer[w + 1] = Math.log((with1 + 1e-300) / (without + 1e-300));
  }
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
      const weeks = Math.max(1 / 7, season.clock[w]! - season.clock[w - 1]!);
      const ln = Math.log(perWeek * weeks) + evidence[w]!;
      if (ln > most) [best, most] = [w, ln];
    }
    if (best < 0 || steps.length === MOST_STEPS)
      return { steps: steps.toSorted((a, b) => a - b), perWeek };
    steps.push(best);
  }
}
