import type { PoolRecord } from "./record.ts";
import { openStore, roomWarning, type Store } from "./store.ts";

const currentKey = "dropwise-current";

/** This browser's pools as its storage has them; other tabs of the page hear of every change. */
export class PoolShelf {
  pools: readonly PoolRecord[] = [];
  readonly #store: Store;
  readonly #others: BroadcastChannel | null;

  private constructor(store: Store, onOthers: () => void) {
    this.#store = store;
    this.#others = otherTabs(onOthers);
  }

  static async open(onOthers: () => void): Promise<PoolShelf> {
    const shelf = new PoolShelf(await openStore(), onOthers);
    await shelf.load();
    return shelf;
  }

  /** Why nothing will be kept; null where it is kept. */
  get trouble(): string | null {
    return this.#store.trouble;
  }

  async load(): Promise<void> {
    this.pools = await this.#store.all();
  }

  /** The pool that was last in hand, else any. */
  get last(): PoolRecord | null {
    let id: string | null = null;
    try {
      id = localStorage.getItem(currentKey);
    } catch {
      // Then the first pool opens.
    }
    return this.pools.find((one) => one.id === id) ?? this.pools[0] ?? null;
  }

  inHand({ id }: PoolRecord): void {
    try {
      localStorage.setItem(currentKey, id);
    } catch {
      // The first pool opens next time.
    }
  }

  /** Changes one pool from what is stored now; resolves with it once it is on disk. */
  async change(id: string, how: (now: PoolRecord) => PoolRecord): Promise<PoolRecord> {
    const known = this.pools.find((one) => one.id === id);
    const record = await this.#store.change(id, (now) => how((now ?? known) as PoolRecord));
    this.pools =
      known === undefined
        ? [...this.pools, record]
        : this.pools.map((one) => (one.id === id ? record : one));
    this.#others?.postMessage(id);
    return record;
  }

  async remove({ id }: PoolRecord): Promise<void> {
    await this.#store.remove(id);
    this.pools = this.pools.filter((one) => one.id !== id);
  }

  /** What the user should know about the room that is left; null where there is enough. */
  readonly roomWarning = roomWarning;
}

function otherTabs(onChange: () => void): BroadcastChannel | null {
  try {
    const channel = new BroadcastChannel("dropwise");
    channel.onmessage = onChange;
    return channel;
  } catch {
    return null;
  }
}
