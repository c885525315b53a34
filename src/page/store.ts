import { type PoolRecord, wholeRecord } from "./record.ts";

/** Why nothing will be kept, in the user's words; null where it is kept. */
export type StoreTrouble = string | null;

/** Where pools are kept. A change is on disk when its promise resolves. */
export interface Store {
  readonly trouble: StoreTrouble;
  all(): Promise<readonly PoolRecord[]>;
  /** Changes one pool from what is stored now, so that two open pages don't undo each other. */
  change(id: string, how: (now: PoolRecord | undefined) => PoolRecord): Promise<PoolRecord>;
  remove(id: string): Promise<void>;
}

const asPromise = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });

function open(): Promise<IDBDatabase> {
  return new Promise((done, fail) => {
    const request = indexedDB.open("dropwise", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("pools", { keyPath: "id" });
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
    request.onblocked = () => fail(new Error("another copy of this page holds the storage"));
  });
}

/** Strict: the promise resolves when the data is on the medium, not when the system has it. */
const durability = { durability: "strict" } as const;

class DiskStore implements Store {
  readonly trouble = null;
  readonly #db: IDBDatabase;

  constructor(db: IDBDatabase) {
    this.#db = db;
    db.onversionchange = () => db.close();
  }

  async all(): Promise<readonly PoolRecord[]> {
    const stored = this.#db.transaction("pools").objectStore("pools").getAll();
    return (await asPromise<PoolRecord[]>(stored)).map(wholeRecord);
  }

  change(id: string, how: (now: PoolRecord | undefined) => PoolRecord): Promise<PoolRecord> {
    return new Promise((done, fail) => {
      const transaction = this.#db.transaction("pools", "readwrite", durability);
      const pools = transaction.objectStore("pools");
      let changed: PoolRecord | undefined;
      const request = pools.get(id) as IDBRequest<PoolRecord | undefined>;
      request.onsuccess = () => {
        const now = request.result;
        changed = how(now === undefined ? undefined : wholeRecord(now));
        pools.put(changed);
      };
      transaction.oncomplete = () => done(changed as PoolRecord);
      transaction.onabort = () => fail(transaction.error);
    });
  }

  remove(id: string): Promise<void> {
    return new Promise((done, fail) => {
      const transaction = this.#db.transaction("pools", "readwrite", durability);
      transaction.objectStore("pools").delete(id);
      transaction.oncomplete = () => done();
      transaction.onabort = () => fail(transaction.error);
    });
  }
}

/** Keeps pools only as long as the page is open. */
class MemoryStore implements Store {
  readonly #pools = new Map<string, PoolRecord>();
  readonly trouble: string;

  constructor(trouble: string) {
    this.trouble = trouble;
  }

  async all(): Promise<readonly PoolRecord[]> {
    return [...this.#pools.values()];
  }

  async change(id: string, how: (now: PoolRecord | undefined) => PoolRecord): Promise<PoolRecord> {
    const changed = how(this.#pools.get(id));
    this.#pools.set(id, changed);
    return changed;
  }

  async remove(id: string): Promise<void> {
    this.#pools.delete(id);
  }
}

/** The browser's own storage, or memory with the reason where it refuses (a private window). */
export async function openStore(): Promise<Store> {
  try {
    return new DiskStore(await open());
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return new MemoryStore(
      `This browser keeps nothing for this page (${why}). Readings are lost when you close it: ` +
        "export them under Files before you do.",
    );
  }
}

/** Under this many free bytes the user is warned: thousands of readings, but not a season [bytes]. */
const fewBytes = 5_000_000;

/** What the user should know about the room for readings; null where there is enough. */
export async function roomWarning(): Promise<string | null> {
  try {
    const { quota = 0, usage = 0 } = await navigator.storage.estimate();
    if (quota === 0 || quota - usage >= fewBytes) return null;
    const kilobytes = Math.max(0, Math.round((quota - usage) / 1000));
    return `Only ${kilobytes} kB of storage are left for this page. Export your files and remove old pools.`;
  } catch {
    return null;
  }
}

/** Asks the browser not to throw the readings away when the device runs short of room. */
export async function askToPersist(): Promise<void> {
  try {
    await navigator.storage.persist();
  } catch {
    // Not offered here; the readings are stored all the same.
  }
}
