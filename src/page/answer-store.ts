import type { ToldBefore } from "./told-before.ts";

/**
 * Where the page keeps answers that it has found, beside the readings and apart from them: they can be
 * had again, so nothing here is ever a fault, and nothing is kept where room is short.
 */
const ROOMY = 100_000_000;

type Stored = ToldBefore & { readonly pool: string };

function open(): Promise<IDBDatabase> {
  return new Promise((done, fail) => {
    const request = indexedDB.open("dropwise-answers", 1);
    request.onupgradeneeded = () =>
      request.result.createObjectStore("answers", { keyPath: ["pool", "slot"] });
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
    request.onblocked = () => fail(new Error("another copy of this page holds the storage"));
  });
}

/** Does something with the answers in one transaction; null where the browser refuses. */
async function withAnswers<T>(
  mode: IDBTransactionMode,
  work: (answers: IDBObjectStore) => IDBRequest<T> | null,
): Promise<T | null> {
  try {
    const db = await open();
    try {
      return await new Promise<T | null>((done, fail) => {
        const transaction = db.transaction("answers", mode);
        const request = work(transaction.objectStore("answers"));
        transaction.oncomplete = () => done(request?.result ?? null);
        transaction.onabort = () => fail(transaction.error);
      });
    } finally {
      db.close();
    }
  } catch {
    return null;
  }
}

const ofPool = (pool: string): IDBKeyRange => IDBKeyRange.bound([pool], [pool, []]);

/** Pools that went: what is still being found about them is kept no more. */
const gone = new Set<string>();

/** What was found about a pool before. */
export async function toldBefore(pool: string): Promise<readonly ToldBefore[]> {
  gone.delete(pool);
  return (await withAnswers<Stored[]>("readonly", (answers) => answers.getAll(ofPool(pool)))) ?? [];
}

/** Keeps what was found about a pool. */
export async function keepTold(pool: string, found: readonly ToldBefore[]): Promise<void> {
  if (found.length === 0 || !(await isRoomy()) || gone.has(pool)) return;
  await withAnswers("readwrite", (answers) => {
    for (const one of found) answers.put({ ...one, pool } satisfies Stored);
    return null;
  });
}

/** Lets go of all that was found about a pool. */
export const forgetTold = async (pool: string): Promise<void> => {
  gone.add(pool);
  await withAnswers("readwrite", (answers) => answers.delete(ofPool(pool)));
};

async function isRoomy(): Promise<boolean> {
  try {
    const { quota = 0, usage = 0 } = await navigator.storage.estimate();
    return quota - usage >= ROOMY;
  } catch {
    return false;
  }
}
