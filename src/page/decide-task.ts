import { type DatedWalk, type Decision, decide, diagnoseSeason, trend } from "../analyze.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";

/** What to decide on: one walk's suspects, with the season behind them. */
export interface DecideQuestion {
  readonly task: "decide";
  readonly pool: Pool;
  readonly diagnosis: WalkDiagnosis;
  /** The readings of all walks. */
  readonly readings: readonly Reading[];
  readonly work: readonly WorkEntry[];
}

export type DecideAnswer =
  | { readonly decisions: readonly Decision[] }
  | { readonly failed: string };

/** Growth and cures from all dated walks, then each suspect's courses: the command's own steps. */
export function answerDecide(question: DecideQuestion): DecideAnswer {
  const { pool, diagnosis, readings, work } = question;
  try {
    const walks = diagnoseSeason(pool, readings).flatMap(({ day, ...walk }): DatedWalk[] =>
      day === null ? [] : [{ ...walk, day }],
    );
    const known = walks.some((walk) => walk.diagnosis.contacts.length > 0);
    const history = known ? trend(pool, walks, work) : null;
    return { decisions: decide(pool, diagnosis, history) };
  } catch (error) {
    return { failed: error instanceof Error ? error.message : String(error) };
  }
}

/**
 * Has a worker of its own decide: a season takes seconds, and readings that come in meanwhile are
 * diagnosed by the other worker.
 */
export function askDecide(script: string, question: DecideQuestion): Promise<readonly Decision[]> {
  const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
  const worker = new Worker(url);
  return new Promise<readonly Decision[]>((done, fail) => {
    worker.onmessage = ({ data }: MessageEvent<DecideAnswer>) => {
      if ("decisions" in data) done(data.decisions);
      else fail(new Error(data.failed));
    };
    worker.onerror = (event) => fail(new Error(event.message || "this browser starts no worker"));
    worker.postMessage(question);
  }).finally(() => {
    worker.terminate();
    URL.revokeObjectURL(url);
  });
}
