import { availableParallelism } from "node:os";
import { extname } from "node:path";
import { setImmediate } from "node:timers/promises";
import { Worker } from "node:worker_threads";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import {
  asksForRivals,
  type DiagnosedWalk,
  diagnosed,
  type Keeper,
  type TimedWalk,
  walkQuestion,
} from "../rooms/season-room.ts";
import { type AskedWalk, answers, type SeasonShare, type WalkAnswer } from "./season-share.ts";

/** A thread is worth its start for so many walks. */
const WALKS_A_THREAD = 3;
const MOST_THREADS = 8;

/**
 * The same as `diagnoseWalks`, of the latest with its rivals, on all processors where there are several
 * to diagnose. Every thread takes
 * the next walk that nobody has taken; walks of a thread that fails are diagnosed here.
 */
export async function diagnoseLongSeason(
  pool: Pool,
  walks: readonly TimedWalk[],
  keeper: Keeper,
  progress: (done: number, of: number) => void,
): Promise<readonly DiagnosedWalk[]> {
  const asked = walks.map((walk): AskedWalk => {
    const rivals = asksForRivals(walk, walks);
    return { readings: walk.readings(), rivals };
  });
  const question = ({ readings, rivals }: AskedWalk) => walkQuestion(pool, readings, rivals, null);
  const found = asked.map((walk) => keeper.known<WalkDiagnosis>(question(walk)));
  const missing = [...asked.keys()].filter((index) => found[index] === undefined);
  let done = walks.length - missing.length;
  const keep = ({ index, diagnosis }: WalkAnswer): void => {
    found[index] = diagnosis;
    keeper.keep(question(asked[index]!), diagnosis);
    progress(done, walks.length);
    done += 1;
  };
  await shareOut({ pool, walks: asked, missing }, keep);
  return walks.map(({ day, seconds }, index) => {
    const { readings, rivals } = asked[index]!;
    const diagnosis = found[index] ?? diagnosed(pool, { readings }, rivals, null, keeper);
    return { day, seconds, diagnosis, readings };
  });
}

/** This thread is one of them. */
async function shareOut(
  job: Omit<SeasonShare, "next">,
  keep: (answer: WalkAnswer) => void,
): Promise<void> {
  const next = new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));
  const threads = Math.min(
    MOST_THREADS,
    availableParallelism(),
    Math.floor(job.missing.length / WALKS_A_THREAD),
  );
  const share = { ...job, next };
  const others = Array.from({ length: Math.max(0, threads - 1) }, () => threadFor(share, keep));
  for (const answer of answers(share)) {
    keep(answer);
    // Lets the others' answers in.
    if (others.length > 0) await setImmediate();
  }
  await Promise.all(others);
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
