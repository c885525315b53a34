import { unknownFacility } from "../domain/facility.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import { type MemoInput, memoInputOf } from "../report/memo-input.ts";
import { costsOf, decideSeason, type SeasonDecisions } from "../rooms/policy-room.ts";
import { followSeason, type Keeper, noKeeper, type Season } from "../rooms/season-room.ts";
import { keepTold, toldBefore } from "./answer-store.ts";
import { type DayAnswer, type DayQuestion, dayOf } from "./day-task.ts";
import { packedScript } from "./packed-script.ts";
import { SlotKeeper, type ToldBefore } from "./told-before.ts";
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
}
export interface MemoQuestion extends SeasonData {
  readonly task: "memo";
}
export type SeasonQuestion = (DecideQuestion | MemoQuestion | DayQuestion) & {
  /** What the page has found about this pool before. */
  readonly told?: { readonly answers: readonly ToldBefore[]; readonly name: string };
};
export type SeasonAnswer = SeasonDecisions | MemoInput | DayAnswer;

/** What comes back: how far it is, again and again, and at last an answer or why there is none. */
export type SeasonMessage =
  | { readonly progress: string }
  | { readonly answer: SeasonAnswer; readonly found: readonly ToldBefore[] }
  | { readonly failed: string };

type Progress = (what: string, done: number, of: number) => void;

/** The season, opened by the command's own steps. */
function seasonOf(
  { pool, readings, work }: SeasonData,
  progress: Progress,
  keeper: Keeper,
): Season {
  const season = followSeason(pool, readings, work, progress, { keeper });
  if (season === null) throw new Error("no walk has a reading at rest to go by");
  return season;
}

/** What the capital request is written from. The facility's own words are not known here. */
function memoOf(question: MemoQuestion, progress: Progress, keeper: Keeper): MemoInput {
  const { pool, readings } = question;
  const season = seasonOf(question, progress, keeper);
  const given = { readings, costs: costsOf(pool), facility: unknownFacility };
  return memoInputOf(season, given, progress);
}

function answerOf(question: SeasonQuestion, progress: Progress, keeper: Keeper): SeasonAnswer {
  switch (question.task) {
    case "memo":
      return memoOf(question, progress, keeper);
    case "decide":
      return decideSeason(seasonOf(question, progress, keeper), progress);
    case "day":
      return dayOf(question, progress, keeper);
  }
}

declare const DROPWISE_BUILD: string | undefined;

/** Of a built page: tells any two whose code differs apart. */
const build = typeof DROPWISE_BUILD === "undefined" ? null : DROPWISE_BUILD;

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
    const { told } = question;
    const keeper =
      build === null || told === undefined
        ? noKeeper
        : new SlotKeeper(build, told.name, told.answers);
    const answer = answerOf(question, progress, keeper);
    tell({ answer, found: keeper instanceof SlotKeeper ? keeper.found : [] });
  } catch (error) {
    tell({ failed: error instanceof Error ? error.message : String(error) });
  }
}

/**
 * Has a worker of its own answer: a season takes seconds, and readings that come in meanwhile are
 * diagnosed by the other worker.
 */
export async function askSeason(
  question: DecideQuestion,
  onProgress: (words: string) => void,
): Promise<SeasonDecisions>;
export async function askSeason(
  question: MemoQuestion,
  onProgress: (words: string) => void,
): Promise<MemoInput>;
export async function askSeason(
  question: DayQuestion,
  onProgress: (words: string) => void,
): Promise<DayAnswer>;
export async function askSeason(
  question: SeasonQuestion,
  onProgress: (words: string) => void,
): Promise<SeasonAnswer> {
  const { name } = question.pool;
  const [script, answers] = await Promise.all([packedScript("compute"), toldBefore(name)]);
  const told = { answers, name: crypto.randomUUID() };
  return workerTask<SeasonMessage, SeasonAnswer>(
    script,
    { ...question, told } satisfies SeasonQuestion,
    (message, done, fail) => {
      if ("progress" in message) onProgress(message.progress);
      else if ("answer" in message) {
        void keepTold(name, message.found);
        done(message.answer);
      } else fail(new Error(message.failed));
    },
  );
}
