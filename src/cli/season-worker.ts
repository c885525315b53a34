import { parentPort, workerData } from "node:worker_threads";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { diagnose } from "../rooms/diagnosis-room.ts";

/** What every thread of a long season is given. */
export interface SeasonShare {
  readonly pool: Pool;
  readonly walks: readonly (readonly Reading[])[];
  /** Index of the first walk that nobody has taken, shared by all threads. */
  readonly next: Int32Array;
}

/** What a thread found about one walk. */
export interface WalkAnswer {
  readonly index: number;
  readonly diagnosis: WalkDiagnosis;
}

const { pool, walks, next } = workerData as SeasonShare;
for (;;) {
  const index = Atomics.add(next, 0, 1);
  const walk = walks[index];
  if (walk === undefined) break;
  const diagnosis = diagnose(pool, walk, index + 1 === walks.length);
  parentPort?.postMessage({ index, diagnosis } satisfies WalkAnswer);
}
