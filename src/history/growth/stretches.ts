import type { PoolStep } from "./build-season.ts";
import { freshEntry, type StartMasses } from "./contact-filter.ts";
import type { ContactLife, JumpLaw, Stage } from "./contact-life.ts";
import { growthRows } from "./growth-rows.ts";
import { stepBackward, stepForward, withChance } from "./jumps.ts";
import { NODES, nodeOf, nodeOfOhms, ohmsAt, STEP } from "./level-grid.ts";
import type { SeasonData } from "./season-data.ts";
import type { SeasonFit } from "./season-fit.ts";

/**
 * Contacts between two works, walk after walk: what is believed in front of each walk by those before
 * it, and how likely the walks from there on are. What may have happened in between is weighed so, gap
 * by gap.
 */

/** A stretch between works of one contact, its factors by walk. */
export interface Stretch {
  readonly life: ContactLife;
  /** Ways of growing that are weighed: rows of growth. */
  readonly rows: readonly number[];
  /** On the season's clock: levels are those of then. */
  readonly ends: number;
  readonly from: number;
  readonly to: number;
  readonly before: Float64Array;
  readonly factors: readonly Float64Array[];
}

/** Contacts that were never over this have nothing to say [ohm]. */
const SEEN = 3;
const EVERY = 3;

/** All ways of growing, and every third of them. */
export const allWays = growthRows.map((_, r) => r);
export const someWays = allWays.filter((r) => r % EVERY === 0);

/** exp of a walk's row of the table, over the levels at the stretch's end, the largest being 1. */
function factorOf(
  rows: readonly number[],
  table: Float64Array,
  w: number,
  ago: number,
): Float64Array {
  const factor = new Float64Array(rows.length * NODES);
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

/** Every stretch that a walk may have seen something in, of the lives that are wanted. */
export function stretchesOf(
  season: SeasonData,
  fit: SeasonFit,
  rows: readonly number[] = someWays,
  wanted: (life: ContactLife) => boolean = () => true,
  laws: readonly Float64Array[] = fit.before,
): readonly Stretch[] {
  return fit.lives.flat(2).flatMap(({ life, table }): Stretch[] => {
    if (!wanted(life)) return [];
    const { mean } = fit.moments[life.path]![life.position]!;
    const begins = life.stages.filter(({ entry }) => entry.kind !== "step");
    return begins.flatMap((stage, i): Stretch[] => {
      const to = begins[i + 1]?.from ?? life.stages.at(-1)!.to;
      if (to - stage.from < 3) return [];
      if (!mean.subarray(stage.from, to).some((ohms) => ohms > SEEN)) return [];
      return [stretchOf(season, fit.start, laws, rows, { life, table }, stage, to)];
    });
  });
}

function stretchOf(
  season: SeasonData,
  start: StartMasses,
  laws: readonly Float64Array[],
  rows: readonly number[],
  { life, table }: { readonly life: ContactLife; readonly table: Float64Array },
  stage: Stage,
  to: number,
): Stretch {
  const entered = freshEntry(stage, start);
  const share = laws[life.group]!;
  const before = new Float64Array(rows.length * NODES);
  rows.forEach((r, n) => {
    for (let i = 0; i < NODES; i++)
      before[n * NODES + i] = share[r]! * entered[r * NODES + i]! + 1e-12;
  });
  const factors = Array.from({ length: to - stage.from }, (_, w) =>
    factorOf(rows, table, stage.from + w, stage.ends - season.clock[stage.from + w]!),
  );
  return { life, rows, ends: stage.ends, from: stage.from, to, before, factors };
}

/** One row after the other through a step. */
export function through(
  move: typeof stepForward,
  jumps: JumpLaw,
  from: Float64Array,
): Float64Array {
  const into = new Float64Array(from.length);
  for (let at = 0; at < from.length; at += NODES) move(jumps, from, at, into);
  return into;
}

/** Brings the largest to 1. */
function scale(values: Float64Array): void {
  let most = 0;
  for (let i = 0; i < values.length; i++) if (values[i]! > most) most = values[i]!;
  for (let i = 0; i < values.length; i++) values[i]! /= most;
}

/** A stretch's rows by walk, which the next one writes over: they are the largest of a season. */
let room = new Float64Array(0);

function rowsFor(walks: number, cells: number): readonly Float64Array[] {
  if (room.length < walks * cells) room = new Float64Array(walks * cells);
  return Array.from({ length: walks }, (_, w) => room.subarray(w * cells, (w + 1) * cells));
}

/**
 * Goes along a stretch: `weigh` is given, for each walk but the first, the masses in front of it and
 * how likely the walks from it on are, both up to a factor; not where a step is known already, which
 * is gone through with its chance.
 */
export function alongStretch(
  { from, to, before, factors }: Stretch,
  known: readonly PoolStep[],
  jumps: JumpLaw,
  weigh: (walk: number, past: Float64Array, next: Float64Array) => void,
): void {
  const lawAt = (walk: number): JumpLaw | null => {
    const step = known.find((one) => one.walk === walk);
    return step === undefined ? null : withChance(jumps, step.chance);
  };
  const cells = before.length;
  /** By walk but the first: what is behind its own values, a step known there not yet taken. */
  const later = rowsFor(to - from, cells);
  let here: Float64Array = new Float64Array(cells).fill(1);
  for (let w = to - 1; w > from; w--) {
    const factor = factors[w - from]!;
    const own = later[w - from]!;
    for (let c = 0; c < cells; c++) own[c] = here[c]! * factor[c]!;
    scale(own);
    const law = lawAt(w);
    here = law === null ? own : through(stepBackward, law, own);
  }
  let past: Float64Array = before.slice();
  for (let w = from; w + 1 < to; w++) {
    const factor = factors[w - from]!;
    for (let c = 0; c < cells; c++) past[c]! *= factor[c]!;
    scale(past);
    const law = lawAt(w + 1);
    if (law !== null) past = through(stepForward, law, past);
    else weigh(w + 1, past, later[w + 1 - from]!);
  }
}
