import { askSeason, earlierWalks } from "./ask-season.ts";
import type { SeasonData } from "./earlier-walks.ts";

/** So long nothing changes before anything is worked out ahead [ms]. */
const QUIET = 1500;

/** What could be worked out ahead. */
export interface Ahead {
  readonly data: SeasonData;
  /** No reading is asked for now: the courses are the next thing that anybody may want. */
  readonly isOver: boolean;
}

/** Works out, before anybody asks, what the earlier walks say and, after a walk, the courses. */
export class ReadAhead {
  /** How far it is; null where nothing is done. */
  words: string | null = null;
  readonly #ahead: () => Ahead | "later" | null;
  readonly #changed: () => void;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #working: { readonly readings: unknown; readonly done: Promise<void> } | null = null;

  constructor(ahead: () => Ahead | "later" | null, changed: () => void) {
    [this.#ahead, this.#changed] = [ahead, changed];
  }

  /** Something changed: begins once it is quiet. */
  soon(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      const ahead = this.#ahead();
      if (ahead === "later") this.soon();
      else if (ahead !== null && earlierWalks.areMany(ahead.data))
        this.#working = { readings: ahead.data.readings, done: this.#work(ahead) };
    }, QUIET);
  }

  /** Resolves when nothing is being worked out of these readings: it would be done twice. */
  async settled({ readings }: SeasonData): Promise<void> {
    if (this.#working?.readings === readings) await this.#working.done;
  }

  async #work({ data: { pool, readings, work }, isOver }: Ahead): Promise<void> {
    try {
      await earlierWalks.read({ pool, readings, work }, (words) => this.#say(words));
      if (isOver)
        await askSeason({ task: "decide", pool, readings, work }, (words) =>
          this.#say(`Working out the courses: ${words}`),
        );
    } catch {
      // Whoever asks for it is told why it fails.
    }
    this.#say(null);
  }

  #say(words: string | null): void {
    if (words === this.words) return;
    this.words = words;
    this.#changed();
  }
}
