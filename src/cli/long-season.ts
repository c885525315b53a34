import { availableParallelism } from "node:os";
import { extname } from "node:path";
import { setImmediate } from "node:timers/promises";
import { Worker } from "node:worker_threads";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import { diagnose } from "../rooms/diagnosis-room.ts";
import { type DiagnosedWalk, walksOf } from "../rooms/season-room.ts";
import type { SeasonShare, WalkAnswer } from "./season-worker.ts";

/** A thread is worth its start for so many walks. */
const WALKS_A_THREAD = 40;
const MOST_THREADS = 8;

/**
 * The same as `diagnoseSeason`, a long season on all processors, but all walks save the last without
 * the explanations that take integrals of their own. Every thread takes the next walk
 * that nobody has taken; walks of a thread that fails are diagnosed here.
 */
export async function diagnoseLongSeason(
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[],
  progress: (done: number, of: number) => void,
): Promise<readonly DiagnosedWalk[]> {
  const walks = walksOf(pool, readings, work);
  const found: (WalkDiagnosis | undefined)[] = walks.map(() => undefined);
  const next = new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));
  const threads = Math.min(
    MOST_THREADS,
    availableParallelism(),
    Math.floor(walks.length / WALKS_A_THREAD),
  );
  const share: SeasonShare = { pool, walks: walks.map((walk) => walk.readings()), next };
  let done = 0;
  const keep = ({ index, diagnosis }: WalkAnswer): void => {
    found[index] = diagnosis;
    progress(done, walks.length);
    done += 1;
  };
  // This thread is one of them.
  const others = Array.from({ length: Math.max(0, threads - 1) }, () => threadFor(share, keep));
  for (;;) {
    const index = Atomics.add(next, 0, 1);
    const walk = share.walks[index];
    if (walk === undefined) break;
    keep({ index, diagnosis: diagnose(pool, walk, index + 1 === walks.length) });
    // Lets the others' answers in.
    if (others.length > 0) await setImmediate();
  }
  await Promise.all(others);
  return walks.map(({ day, seconds }, index) => {
    const own = share.walks[index]!;
    return { day, seconds, diagnosis: found[index] ?? diagnose(pool, own), readings: own };
  });
}

/** Resolves when the thread has ended, however it ends. */
function threadFor(share: SeasonShare, keep: (answer: WalkAnswer) => void): Promise<void> {
  const script = new URL(`./season-worker${extname(import.meta.url)}`, import.meta.url);
  return new Promise((resolve) => {
    const thread = new Worker(script, { workerData: share });
    thread.on("message", keep);
    thread.on("error", () => resolve());
    thread.on("exit", () => resolve());
  });
}
