import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import { keepTold, toldBefore } from "./answer-store.ts";
import type { ToldBefore } from "./told-before.ts";

/** A pool with all its walks. */
export interface SeasonData {
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly work: readonly WorkEntry[];
}

/** What the page has found about a pool before, and a name for a pool file that is met first. */
export interface Told {
  readonly answers: readonly ToldBefore[];
  readonly name: string;
}

/** Every so-manieth walk but the latest, from the one of this number on. */
export interface WalkShare {
  readonly part: number;
  readonly of: number;
}

/** Has one share of the walks read by a worker; `hear` is told how much of it is done. */
type ReadShare = (
  data: SeasonData,
  share: WalkShare,
  told: Told,
  hear: (done: number) => void,
) => Promise<readonly ToldBefore[]>;

/** Fewer earlier walks than this are no work that anybody waits for. */
const FEW = 6;
/** A phone has other things to do as well. */
const MOST_WORKERS = 4;

type Hear = (words: string) => void;

interface Running {
  readonly key: string;
  readonly done: Promise<void>;
  readonly hears: Hear[];
}

/**
 * Finds what the earlier walks of a pool say, each by itself, before anything is asked that rests on all of
 * them: they stay as they are, so this is done once, on several processors, and kept.
 */
export class EarlierWalks {
  readonly #readShare: ReadShare;
  #running: Running | null = null;
  #known = "";
  /** Answers of this pool that the browser may have had no room for. */
  #held: { readonly pool: string; readonly found: readonly ToldBefore[] } | null = null;

  constructor(readShare: ReadShare) {
    this.#readShare = readShare;
  }

  /** Are there so many that anybody would have to wait for them? */
  areMany(data: SeasonData): boolean {
    return earlierOf(data).walks >= FEW;
  }

  /** Resolves when all are known; `hear` is told how far it is. */
  async read(data: SeasonData, hear: Hear): Promise<void> {
    const key = keyOf(data);
    if (key === this.#known || !this.areMany(data)) return;
    if (this.#running?.key !== key) this.#running = this.#begin(key, data);
    this.#running.hears.push(hear);
    await this.#running.done;
  }

  /** What was found about a pool before, here or in an earlier life of the page. */
  async told(pool: string): Promise<readonly ToldBefore[]> {
    const held = this.#held?.pool === pool ? this.#held.found : [];
    return [...(await toldBefore(pool)), ...held];
  }

  #begin(key: string, data: SeasonData): Running {
    const hears: Hear[] = [];
    const tell: Hear = (words) => {
      for (const hear of hears) hear(words);
    };
    const done = this.#all(data, tell)
      .then(() => {
        this.#known = key;
      })
      // Then whoever asks the season finds them one after another, and says what is wrong.
      .catch(() => {});
    return { key, done, hears };
  }

  async #all(data: SeasonData, tell: Hear): Promise<void> {
    const { name } = data.pool;
    // One name for the pool file, whichever worker meets it first.
    const told = { answers: await this.told(name), name: crypto.randomUUID() };
    const of = Math.min(MOST_WORKERS, Math.max(1, navigator.hardwareConcurrency ?? 1));
    const shares = Array<number>(of).fill(0);
    const hear = (part: number) => (done: number) => {
      shares[part] = done;
      const all = shares.reduce((sum, one) => sum + one, 0) / of;
      tell(`Reading the earlier walks: ${5 * Math.floor(20 * all)} %`);
    };
    const read = shares.map((_, part) => this.#readShare(data, { part, of }, told, hear(part)));
    const found = (await Promise.all(read)).flat();
    const held = this.#held?.pool === name ? this.#held.found : [];
    this.#held = { pool: name, found: [...held, ...found] };
    await keepTold(name, found);
  }
}

/** How much there is of other walks than the last reading's. */
function earlierOf({ readings }: SeasonData): {
  readonly walks: number;
  readonly readings: number;
} {
  const last = readings.at(-1)?.walk;
  const others = readings.filter(({ walk }) => walk !== last);
  return { walks: new Set(others.map(({ walk }) => walk)).size, readings: others.length };
}

/** What the earlier walks' answers hang on, as far as it changes by itself. */
function keyOf(data: SeasonData): string {
  return JSON.stringify([data.pool, data.work.length, earlierOf(data)]);
}
