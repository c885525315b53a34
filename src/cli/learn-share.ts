import { availableParallelism } from "node:os";
import { extname } from "node:path";
import { Worker } from "node:worker_threads";
import type { Pool, Reading } from "../rooms/domain-room.ts";
import { tabledWalk, type WalkTable } from "../rooms/learning-room.ts";

/** What a thread is given: walks that are its own for all rounds. */
export interface LearningShare {
  readonly pool: Pool;
  readonly walks: readonly (readonly Reading[])[];
}

export const tableWalks = (
  pool: Pool,
  walks: LearningShare["walks"],
): readonly ((by: Pool) => WalkTable)[] => walks.map((readings) => tabledWalk(pool, readings));

/** A thread is worth its start for so many walks. */
const WALKS_A_THREAD = 3;
const MOST_THREADS = 8;

/** Lays tables on all processors, by whatever pool is asked about; `end` lets the threads go. */
export interface LearningThreads {
  readonly tablesBy: (pool: Pool) => Promise<readonly WalkTable[]>;
  readonly end: () => void;
}

/** This thread is one of them, and takes over from one that fails. */
export function learningThreads(pool: Pool, walks: LearningShare["walks"]): LearningThreads {
  const most = Math.min(MOST_THREADS, availableParallelism());
  const count = Math.max(1, Math.min(most, Math.floor(walks.length / WALKS_A_THREAD)));
  const shareOf = (n: number) => walks.filter((_, w) => w % count === n);
  const mine = tableWalks(pool, shareOf(0));
  const others = Array.from({ length: count - 1 }, (_, n) => otherThread(pool, shareOf(n + 1)));
  return {
    tablesBy: async (by) => {
      const asked = others.map((other) => other.tablesBy(by));
      const own = mine.map((table) => table(by));
      return [...own, ...(await Promise.all(asked)).flat()];
    },
    end: () => {
      for (const { end } of others) end();
    },
  };
}

function otherThread(pool: Pool, walks: LearningShare["walks"]): LearningThreads {
  const script = new URL(`./learn-worker${extname(import.meta.url)}`, import.meta.url);
  const thread = new Worker(script, { workerData: { pool, walks } satisfies LearningShare });
  let here: ReturnType<typeof tableWalks> | null = null;
  let failed = false;
  // Whoever waits is told by the listeners of that round.
  thread.on("error", () => {
    failed = true;
  });
  return {
    tablesBy: async (by) => {
      const told = failed ? null : await answerOf(thread, by);
      if (told !== null) return told;
      failed = true;
      here ??= tableWalks(pool, walks);
      return here.map((table) => table(by));
    },
    end: () => void thread.terminate(),
  };
}

/** Null where the thread ends without one. */
function answerOf(thread: Worker, by: Pool): Promise<readonly WalkTable[] | null> {
  return new Promise((resolve) => {
    const done = (answer: readonly WalkTable[] | null): void => {
      thread.off("message", done);
      thread.off("exit", gone);
      resolve(answer);
    };
    const gone = (): void => done(null);
    thread.on("message", done);
    thread.on("exit", gone);
    thread.postMessage(by);
  });
}
