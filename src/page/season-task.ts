import {
  analyzeSeason,
  costsOf,
  type DatedWalk,
  type Decision,
  decide,
  diagnoseSeason,
  type ReadAgain,
  toReadAgain,
  trend,
  unknownFacility,
  weighOptions,
} from "../analyze.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { MemoInput } from "../report/memo-input.ts";
import { workerTask } from "./worker-task.ts";

/** A pool with all its walks. */
export interface SeasonData {
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly work: readonly WorkEntry[];
}

/** What takes a whole season to answer. */
export interface DecideQuestion extends SeasonData {
  readonly task: "decide";
  /** The walk whose suspects are to be decided on. */
  readonly diagnosis: WalkDiagnosis;
}
export interface MemoQuestion extends SeasonData {
  readonly task: "memo";
}
/** The suspects' courses, and the suspects that were worked on since the walk. */
export interface Decided {
  readonly decisions: readonly Decision[];
  readonly readAgain: readonly ReadAgain[];
}
export type SeasonQuestion = DecideQuestion | MemoQuestion;

/** What comes back: how far it is, again and again, and at last an answer or why there is none. */
export type SeasonMessage =
  | { readonly progress: string }
  | { readonly answer: Decided | MemoInput }
  | { readonly failed: string };

type Progress = (what: string, done: number, of: number) => void;

/** Growth and cures from all dated walks, then each suspect's courses: the command's own steps. */
function decisionsOf(question: DecideQuestion, progress: Progress): Decided {
  const { pool, diagnosis, readings, work } = question;
  const season = diagnoseSeason(
    pool,
    readings,
    (done, of) => progress("walks", done, of),
    "latest",
  );
  const walks = season.flatMap(({ day, ...walk }): DatedWalk[] =>
    day === null ? [] : [{ ...walk, day }],
  );
  const known = walks.some((walk) => walk.diagnosis.contacts.length > 0);
  const history = known ? trend(pool, walks, work, progress) : null;
  const decisions = decide(pool, diagnosis, history, undefined, (done, of) =>
    progress("courses", done, of),
  );
  return { decisions, readAgain: toReadAgain(diagnosis, history) };
}

/** What the capital request is written from. The facility's own words are not known here. */
function memoOf({ pool, readings, work }: MemoQuestion, progress: Progress): MemoInput {
  const season = analyzeSeason(pool, readings, work, progress);
  const walk = season.latest.diagnosis;
  if (walk.connectors.length === 0)
    throw new Error(`walk ${walk.walk} has no reading at rest to base a request on`);
  const costs = costsOf(pool);
  return {
    pool,
    walk,
    readings,
    cleanings: season.cleanings,
    decisions: season.decisions,
    options: weighOptions(pool, walk, season.trend, costs),
    costs,
    facility: unknownFacility,
  };
}

/** The worker's side. */
export function answerSeason(
  question: SeasonQuestion,
  tell: (message: SeasonMessage) => void,
): void {
  let last = "";
  const progress: Progress = (what, done, of) => {
    const words = `${what}: ${Math.floor((100 * done) / Math.max(1, of))} %`;
    if (words !== last) tell({ progress: words });
    last = words;
  };
  try {
    const answer =
      question.task === "memo" ? memoOf(question, progress) : decisionsOf(question, progress);
    tell({ answer });
  } catch (error) {
    tell({ failed: error instanceof Error ? error.message : String(error) });
  }
}

/**
 * Has a worker of its own answer: a season takes seconds, and readings that come in meanwhile are
 * diagnosed by the other worker.
 */
export async function askSeason(
  script: string,
  question: DecideQuestion,
  onProgress: (words: string) => void,
): Promise<Decided>;
export async function askSeason(
  script: string,
  question: MemoQuestion,
  onProgress: (words: string) => void,
): Promise<MemoInput>;
export async function askSeason(
  script: string,
  question: SeasonQuestion,
  onProgress: (words: string) => void,
): Promise<Decided | MemoInput> {
  return workerTask<SeasonMessage, Decided | MemoInput>(
    new Blob([script], { type: "text/javascript" }),
    question,
    (message, done, fail) => {
      if ("progress" in message) onProgress(message.progress);
      else if ("answer" in message) done(message.answer);
      else fail(new Error(message.failed));
    },
  );
}
