import { type Keeper, type Question, spelt } from "../rooms/season-room.ts";

/** An answer as the page keeps it: the last one of its kind about a walk, and what was asked. */
export interface ToldBefore {
  readonly slot: string;
  readonly asked: string;
  readonly answer: unknown;
}

/**
 * Holds a pool's answers, one a slot: what was asked last about each walk and about the season. Another
 * pool file asks everything anew.
 *
 * @param build tells pages that answer otherwise apart
 * @param name that no pool file has had before, for one that is met first
 */
export class SlotKeeper implements Keeper {
  /** What was found anew. */
  readonly found: ToldBefore[] = [];
  readonly #build: string;
  readonly #slots: Map<string, ToldBefore>;
  readonly #name: string;
  #pool: { readonly pool: unknown; readonly name: string } | null = null;

  constructor(build: string, name: string, known: readonly ToldBefore[]) {
    [this.#build, this.#name] = [build, name];
    this.#slots = new Map(known.map((one) => [one.slot, one]));
  }

  known<T>(question: Question): T | undefined {
    const before = this.#slots.get(slotOf(question));
    return before?.asked === this.#asked(question) ? (before.answer as T) : undefined;
  }

  keep(question: Question, answer: unknown): void {
    const one = { slot: slotOf(question), asked: this.#asked(question), answer };
    this.#slots.set(one.slot, one);
    this.found.push(one);
  }

  /** The pool is much of the text and the same in every question: a short name stands for it. */
  #asked({ from: [pool, ...others] }: Question): string {
    const { name } = this.#pool?.pool === pool ? this.#pool! : this.#named(pool);
    return `${name} ${spelt(others)}`;
  }

  #named(pool: unknown): { readonly name: string } {
    const asked = `${this.#build} ${spelt(pool)}`;
    const before = this.#slots.get(POOL);
    const name = before?.asked === asked ? (before.answer as string) : this.#name;
    if (name === this.#name) {
      const one = { slot: POOL, asked, answer: name };
      this.#slots.set(POOL, one);
      this.found.push(one);
    }
    this.#pool = { pool, name };
    return { name };
  }
}

const POOL = "pool";

/** A walk is asked about by itself and, the latest, from what others left. */
function slotOf({ what, walk, from }: Question): string {
  const start = what === "walk" && from[3] !== null ? "informed" : "";
  return `${what} ${start} ${walk ?? ""}`;
}
