import type { Entry, JumpLaw } from "./contact-life.ts";
import { type GrowthRow, grow } from "./growth-rows.ts";
import { levels, NODES, nodeOf, ohmsAt, STEP, valueAt } from "./level-grid.ts";

/** How far an uncured contact moves when it is opened and mated again [ln ohm]. */
const MOVED = 0.3;

/** Masses of that move by nodes, -`REACH` to `REACH`. */
const REACH = 10;
const moved = Float64Array.from({ length: 2 * REACH + 1 }, (_, i) =>
  Math.exp(-0.5 * (((i - REACH) * STEP) / MOVED) ** 2),
);
const movedSum = moved.reduce((sum, mass) => sum + mass, 0);

/** What a step does that came with this chance only. */
export const withChance = (jumps: JumpLaw, chance: number): JumpLaw => ({
  ...jumps,
  touched: jumps.touched * chance,
});

/** One row's masses through a step: untouched, or risen by a geometric number of nodes. */
export function stepForward(
  { touched, rise }: JumpLaw,
  from: Float64Array,
  at: number,
  into: Float64Array,
): void {
  const stay = Math.exp(-STEP / rise);
  let carried = 0;
  for (let i = at; i < at + NODES; i++) {
    into[i] = (1 - touched) * from[i]! + touched * carried;
    carried = stay * carried + (1 - stay) * from[i]!;
  }
}

/** One row's masses, all of them risen, weighed by what each level then leads to. */
export function risenTo(
  { rise }: JumpLaw,
  from: Float64Array,
  next: Float64Array,
  at: number,
): number {
  const stay = Math.exp(-STEP / rise);
  let [carried, sum] = [0, 0];
  for (let i = at; i < at + NODES; i++) {
    sum += carried * next[i]!;
    carried = stay * carried + (1 - stay) * from[i]!;
  }
  return sum;
}

/** The same backwards: what a level in front of the step leads to. */
export function stepBackward(
  { touched, rise }: JumpLaw,
  from: Float64Array,
  at: number,
  into: Float64Array,
): void {
  const stay = Math.exp(-STEP / rise);
  let carried = from[at + NODES - 1]!;
  for (let i = at + NODES - 1; i >= at; i--) {
    into[i] = (1 - touched) * from[i]! + touched * carried;
    carried = stay * carried + (1 - stay) * from[i]!;
  }
}

/** P(a rise of so many nodes | touched), by nodes; none at 0. */
export function riseShares(rise: number): Float64Array {
  const stay = Math.exp(-STEP / rise);
  return Float64Array.from({ length: NODES }, (_, j) =>
    j === 0 ? 0 : (1 - stay) * stay ** (j - 1),
  );
}

/** P(a work brings a contact back to its floor); else it moves a little. */
export function freshChance(entry: Entry, { cure }: JumpLaw): number {
  return entry.kind === "worked" && entry.action === "cleaned" ? cure : 0.5 * cure;
}

/**
 * One row's masses through a work: `fresh` masses with the chance of a cure, else the old ones moved
 * a little, grown to the end of the stage.
 */
export function workForward(
  row: GrowthRow,
  chance: number,
  fresh: Float64Array,
  weeks: number,
  from: Float64Array,
  at: number,
  into: Float64Array,
): void {
  const start = new Float64Array(NODES);
  let all = 0;
  for (let i = 0; i < NODES; i++) {
    const mass = from[at + i]!;
    all += mass;
    if (mass < 1e-14) continue;
    for (let d = -REACH; d <= REACH; d++) {
      const to = Math.min(NODES - 1, Math.max(0, i + d));
      start[to]! += ((1 - chance) * mass * moved[d + REACH]!) / movedSum;
    }
  }
  for (let i = 0; i < NODES; i++) start[i]! += chance * all * fresh[i]!;
  grow(row, start, 0, weeks, 1, into, at);
}

/** The same backwards. */
export function workBackward(
  row: GrowthRow,
  chance: number,
  fresh: Float64Array,
  weeks: number,
  from: Float64Array,
  at: number,
  into: Float64Array,
): void {
  const start = new Float64Array(NODES);
  let cured = 0;
  for (let i = 0; i < NODES; i++) {
    const level =
      row.kind === "ohm" ? Math.log(ohmsAt[i]! + row.rate * weeks) : levels[i]! + row.rate * weeks;
    start[i] = valueAt(from, at, nodeOf(level));
    cured += fresh[i]! * start[i]!;
  }
  for (let i = 0; i < NODES; i++) {
    let sum = 0;
    for (let d = -REACH; d <= REACH; d++) {
      sum += moved[d + REACH]! * start[Math.min(NODES - 1, Math.max(0, i + d))]!;
    }
    into[at + i] = chance * cured + ((1 - chance) * sum) / movedSum;
  }
}
