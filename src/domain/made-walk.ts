import { type KnownReading, madeReading } from "./made-reading.ts";
import { Misuse } from "./misuse.ts";
import { assertOneWalk } from "./one-walk.ts";
import type { Pool } from "./pool.ts";
import type { Reading } from "./reading.ts";

/** Readings of one pool that were taken between two works or two long silences: one state of it. */
export interface Walk {
  readonly pool: Pool;
  /** The walk's name; empty where it has no reading yet. */
  readonly walk: string;
  readonly readings: readonly Reading[];
}

const isWhole = (one: Reading | KnownReading): one is Reading => "line" in one;

/** One walk; throws `Misuse` where the readings are of several, or not of this pool. */
export function madeWalk(pool: Pool, readings: readonly (Reading | KnownReading)[]): Walk {
  const whole = readings.map((one) => (isWhole(one) ? one : madeReading(pool, one)));
  assertOneWalk(pool, whole);
  return { pool, walk: whole[0]?.walk ?? "", readings: whole };
}

/** Throws `Misuse` where a caller that no compiler checked gives something else than a walk. */
export function assertWalk(walk: Walk): void {
  const given = walk as Partial<Walk> | null | undefined;
  if (!Array.isArray(given?.readings) || given?.pool === undefined)
    throw new Misuse("not-a-walk", "no walk: walkOf(pool, readings) makes one, walksOf() several");
  assertOneWalk(walk.pool, walk.readings);
}
