import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Reading } from "../domain/reading.ts";
import type { NextAdvice } from "../rooms/diagnosis-room.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";
import { type Computer, startComputer } from "./compute.ts";
import type { Question } from "./compute-worker.ts";

/** What is known of one walk. */
export interface Findings {
  readonly walk: string;
  readonly diagnosis: WalkDiagnosis;
  /** Clean or replace, once it was asked for; null before. */
  readonly decided: SeasonDecisions | null;
}

/**
 * Do the findings hold all that was read? `awaited`: not yet, they are being worked out again;
 * `failed`: no, and they won't.
 */
export type Ranking = "current" | "awaited" | "failed";

/** Who hears what the computation says. */
export interface Heard {
  /** A ranking came. */
  readonly ranked: () => void;
  /** What to read next came. */
  readonly advised: () => void;
  readonly failed: (why: string) => void;
}

const nothing: NextAdvice = { readings: [], unplug: [], stop: null };

/** The readings that an answer holds, as one text. */
const spelt = (readings: readonly Reading[]): string =>
  readings.map(({ id, lane, point, volts }) => [id, lane, point, volts].join()).join(";");

/** The findings of the walk that is shown, and what to read next, as far as they are worked out. */
export class WalkRanking {
  findings: Findings | null = null;
  state: Ranking = "current";
  /** What to read next; null: not yet known for the readings in hand. */
  advice: NextAdvice | null = null;
  /** How long the latest ranking took, there and back, and how much of it was the diagnosis [ms]. */
  timing: { readonly total: number; readonly diagnosis: number } | null = null;
  readonly #computer: Computer;
  /** What was found of each walk since the page was opened. */
  readonly #found = new Map<string, { readonly of: string; readonly diagnosis: WalkDiagnosis }>();
  /** Who waits until the ranking is awaited no more. */
  #waiting: (() => void)[] = [];
  #askedAt = 0;
  #askedOf = "";

  constructor({ ranked, advised, failed }: Heard) {
    this.#computer = startComputer(
      (message) => {
        if (message.part === "diagnosis") {
          const { diagnosis } = message;
          this.findings = { walk: diagnosis.walk, diagnosis, decided: null };
          this.#found.set(diagnosis.walk, { of: this.#askedOf, diagnosis });
          const total = performance.now() - this.#askedAt;
          this.timing = { total, diagnosis: message.took };
          this.settle("current");
          ranked();
        } else {
          this.advice = message.next;
          advised();
        }
      },
      (why) => {
        this.advice = nothing;
        // It may be the search for the next reading that failed, after the ranking came.
        if (this.state === "awaited") this.settle("failed");
        failed(why);
      },
    );
  }

  /** Asks anew about a walk. Old findings of it stand until new ones come. */
  ask(question: Question): void {
    this.state = "awaited";
    [this.#askedAt, this.#askedOf] = [performance.now(), spelt(question.readings)];
    this.#computer.ask(question);
  }

  /** Another pool: two may have walks of the same day. */
  forget(): void {
    [this.findings, this.advice] = [null, null];
    this.#found.clear();
  }

  settle(state: Ranking): void {
    this.state = state;
    for (const done of this.#waiting.splice(0)) done();
  }

  /** What these readings, all of one walk, were found to say; null where nobody asked. */
  foundOf(readings: readonly Reading[]): WalkDiagnosis | null {
    const found = this.#found.get(readings[0]?.walk ?? "");
    return found?.of === spelt(readings) ? found.diagnosis : null;
  }

  /** The findings once they hold all that was read; throws, in the user's words, where none will. */
  async current(): Promise<Findings> {
    while (this.state === "awaited")
      await new Promise<void>((done) => {
        this.#waiting.push(done);
      });
    if (this.state === "failed") throw new Error("the diagnosis failed");
    if (this.findings === null) throw new Error("there are no findings yet: take readings first");
    return this.findings;
  }
}
