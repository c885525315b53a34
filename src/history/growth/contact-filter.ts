import type { ContactLife, JumpLaw, Stage } from "./contact-life.ts";
import { grow, growthRows } from "./growth-rows.ts";
import {
  freshChance,
  stepBackward,
  stepForward,
  withChance,
  workBackward,
  workForward,
} from "./jumps.ts";
import { LOWEST, NODES, nodeOfOhms, ohmsAt, STEP } from "./level-grid.ts";

const ROWS = growthRows.length;
export const CELLS = ROWS * NODES;
const LEAST = Math.exp(LOWEST);

/** What a contact is taken for before any value was read, by row, over the level at its start. */
export interface StartMasses {
  /** At a first walk: nobody knows when it was last cleaned. */
  readonly unknown: Float64Array;
  /** Just cleaned or new: the same for all rows. */
  readonly floor: Float64Array;
  /** Just fouled at a stroke: the same for all rows. */
  readonly struck: Float64Array;
}

/** One stage, filtered. */
export interface FilteredStage {
  readonly stage: Stage;
  /** Masses by row and level at the stage's end, its values taken in. */
  readonly masses: Float64Array;
  /** Probability of its values by row and level, up to a factor. */
  readonly likelihood: Float64Array;
}

/** One contact's life, every row of growth as likely as any other. */
export interface ContactFilter {
  readonly stages: readonly FilteredStage[];
  /** ln P(all values | row), up to one constant. */
  readonly lnRows: Float64Array;
}

/** 1 for each row that is still in question, 0 for one that earlier rounds have ruled out. */
export type RowsInQuestion = Uint8Array;
export const allRows: RowsInQuestion = new Uint8Array(ROWS).fill(1);

/** Levels of each row that are still in question: from, up to. */
interface Alive {
  readonly from: Int32Array;
  readonly to: Int32Array;
}

/** Adds a walk's ln probabilities over the levels at the stage's end, `ago` weeks later. */
function addWalk(table: Float64Array, at: number, ago: number, into: Float64Array, alive: Alive) {
  for (let r = 0; r < ROWS; r++) {
    const { kind, rate } = growthRows[r]!;
    const base = r * NODES;
    const to = alive.to[r]!;
    if (kind === "ohm") {
      const less = rate * ago;
      for (let i = alive.from[r]!; i < to; i++) {
        const ohms = ohmsAt[i]! - less;
        if (ohms <= LEAST) {
          into[base + i]! += table[at]!;
          continue;
        }
        const node = nodeOfOhms(ohms);
        const low = node | 0;
        into[base + i]! +=
          table[at + low]! + (node - low) * (table[at + low + 1]! - table[at + low]!);
      }
    } else {
      const back = (rate * ago) / STEP;
      const whole = Math.ceil(back);
      const beyond = whole - back;
      const under = Math.min(to, whole);
      for (let i = alive.from[r]!; i < under; i++) into[base + i]! += table[at]!;
      for (let i = Math.max(whole, alive.from[r]!); i < to; i++) {
        const low = table[at + i - whole]!;
        into[base + i]! += beyond === 0 ? low : low + beyond * (table[at + i - whole + 1]! - low);
      }
    }
  }
}

/** Levels so much less likely than the likeliest are out of the question [ln]. */
const OUT = 70;
const NEVER = Math.exp(-OUT);
const CHECK_EVERY = 4;

function mostOf(ln: Float64Array, { from, to }: Alive): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let r = 0; r < ROWS; r++) {
    const end = r * NODES + to[r]!;
    for (let c = r * NODES + from[r]!; c < end; c++) if (ln[c]! > most) most = ln[c]!;
  }
  return most;
}

function narrow(ln: Float64Array, least: number, alive: Alive): void {
  for (let r = 0; r < ROWS; r++) {
    const base = r * NODES;
    while (alive.from[r]! < alive.to[r]! && ln[base + alive.from[r]!]! < least) alive.from[r]!++;
    while (alive.from[r]! < alive.to[r]! && ln[base + alive.to[r]! - 1]! < least) alive.to[r]!--;
  }
}

/** Probability of a stage's values by row and level, the largest being 1; and its ln. */
function stageLikelihood(
  stage: Stage,
  table: Float64Array,
  clock: Float64Array,
  rows: RowsInQuestion,
): { likelihood: Float64Array; lnMost: number } {
  const likelihood = takeBuffer().fill(0);
  const alive = { from: new Int32Array(ROWS), to: Int32Array.from(rows, (row) => row * NODES) };
  for (let w = stage.to - 1; w >= stage.from; w--) {
    addWalk(table, w * NODES, stage.ends - clock[w]!, likelihood, alive);
    const done = stage.to - w;
    if (done === 1 || done === 2 || done % CHECK_EVERY === 0)
      narrow(likelihood, mostOf(likelihood, alive) - OUT, alive);
  }
  const lnMost = mostOf(likelihood, alive);
  for (let r = 0; r < ROWS; r++) {
    const base = r * NODES;
    likelihood.fill(NEVER, base, base + alive.from[r]!);
    likelihood.fill(NEVER, base + alive.to[r]!, base + NODES);
    for (let c = base + alive.from[r]!; c < base + alive.to[r]!; c++)
      likelihood[c] = Math.exp(likelihood[c]! - lnMost);
  }
  return { likelihood, lnMost };
}

/** Masses at a stage's start, carried to its end, before its values. */
function enter(
  stage: Stage,
  before: Float64Array | null,
  start: StartMasses,
  jumps: JumpLaw,
  rows: RowsInQuestion,
): Float64Array {
  const masses = takeBuffer().fill(0);
  const { entry } = stage;
  for (let r = 0; r < ROWS; r++) {
    const row = growthRows[r]!;
    const at = r * NODES;
    if (rows[r] === 0) continue;
    if (entry.kind === "start") {
      const from = entry.known ? start.floor : start.unknown;
      grow(row, from, entry.known ? 0 : at, stage.weeks, 1, masses, at);
    } else if (entry.kind === "step") {
      stepForward(withChance(jumps, entry.chance), before!, at, masses);
    } else if (entry.kind === "stroke") {
      workForward(row, 1, start.struck, stage.weeks, before!, at, masses);
    } else {
      const chance = freshChance(entry, jumps);
      workForward(row, chance, start.floor, stage.weeks, before!, at, masses);
    }
  }
  return masses;
}

/** Arrays that nobody reads any more, to be used again. */
const spare: Float64Array[] = [];
const takeBuffer = (): Float64Array => spare.pop() ?? new Float64Array(CELLS);

/** Gives a filter's arrays back; it must not be read after that. */
export function discard({ stages }: ContactFilter): void {
  for (const { masses, likelihood } of stages) spare.push(masses, likelihood);
}

/** Takes in all walks of a contact's life. `table`: ln P(values | level), one row of nodes a walk. */
export function filterContact(
  life: ContactLife,
  table: Float64Array,
  clock: Float64Array,
  start: StartMasses,
  jumps: JumpLaw,
  rows: RowsInQuestion = allRows,
): ContactFilter {
  const stages: FilteredStage[] = [];
  let masses: Float64Array | null = null;
  let lnScale = 0;
  for (const stage of life.stages) {
    const { likelihood, lnMost } = stageLikelihood(stage, table, clock, rows);
    masses = enter(stage, masses, start, jumps, rows);
    let most = 0;
    for (let c = 0; c < CELLS; c++) {
      masses[c]! *= likelihood[c]!;
      if (masses[c]! > most) most = masses[c]!;
    }
    // Values that no level explains: nothing was learnt.
    if (most === 0) throw new Error("a walk's values have no probability at any level");
    for (let c = 0; c < CELLS; c++) masses[c]! /= most;
    lnScale += lnMost + Math.log(most);
    stages.push({ stage, masses, likelihood });
  }
  const last = masses!;
  const lnRows = Float64Array.from({ length: ROWS }, (_, r) => {
    let sum = 0;
    for (let i = r * NODES; i < (r + 1) * NODES; i++) sum += last[i]!;
    return Math.log(sum) + lnScale;
  });
  return { stages, lnRows };
}

const ONES = new Float64Array(CELLS).fill(1);

/** By stage: what each level at its end leads to in all later values, row by row, up to a factor. */
export function lookBack(
  filter: ContactFilter,
  start: StartMasses,
  jumps: JumpLaw,
): readonly Float64Array[] {
  const after: Float64Array[] = [];
  let later: Float64Array = ONES;
  for (let s = filter.stages.length - 1; s >= 0; s--) {
    after[s] = later;
    const { stage, likelihood } = filter.stages[s]!;
    if (s === 0) break;
    const here = later.map((value, c) => value * likelihood[c]!);
    const next = new Float64Array(CELLS);
    let most = 0;
    for (let r = 0; r < ROWS; r++) {
      const at = r * NODES;
      if (Number.isFinite(filter.lnRows[r]) === false) continue;
      if (stage.entry.kind === "step")
        stepBackward(withChance(jumps, stage.entry.chance), here, at, next);
      else {
        const struck = stage.entry.kind === "stroke";
        const chance = struck ? 1 : freshChance(stage.entry, jumps);
        const fresh = struck ? start.struck : start.floor;
        workBackward(growthRows[r]!, chance, fresh, stage.weeks, here, at, next);
      }
    }
    for (let c = 0; c < CELLS; c++) if (next[c]! > most) most = next[c]!;
    later = next.map((value) => value / most);
  }
  return after;
}

/** Masses at a stretch's end before its values, where it began afresh: by work, a stroke, a first walk. */
export function freshEntry(stage: Stage, start: StartMasses): Float64Array {
  const known = stage.entry.kind !== "start" || stage.entry.known;
  const jumps = { cure: 1, touched: 0, rise: 1 };
  const from = stage.entry.kind === "stroke" ? { ...start, floor: start.struck } : start;
  return enter({ ...stage, entry: { kind: "start", known } }, null, from, jumps, allRows);
}
