import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { diagnose } from "../rooms/diagnosis-room.ts";

/** A walk to diagnose, by itself. */
export interface AskedWalk {
  readonly readings: readonly Reading[];
  readonly rivals: boolean;
}

/** What every thread of a long season is given. */
export interface SeasonShare {
  readonly pool: Pool;
  readonly walks: readonly AskedWalk[];
  /** Indices of the walks that are to be diagnosed. */
  readonly missing: readonly number[];
  /** Place in `missing` of the first walk that nobody has taken, shared by all threads. */
  readonly next: Int32Array;
}

/** What a thread found about one walk. */
export interface WalkAnswer {
  readonly index: number;
  readonly diagnosis: WalkDiagnosis;
}

/** Takes walks that nobody has taken, one after another. */
export function* answers({ pool, walks, missing, next }: SeasonShare): Generator<WalkAnswer> {
  for (;;) {
    const index = missing[Atomics.add(next, 0, 1)];
    if (index === undefined) return;
    const { readings, rivals } = walks[index]!;
    yield { index, diagnosis: diagnose(pool, readings, rivals) };
  }
}
