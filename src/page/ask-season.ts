import type { MemoInput } from "../report/memo-input.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";
import { keepTold } from "./answer-store.ts";
import type { DayAnswer, DayQuestion } from "./day-task.ts";
import { EarlierWalks } from "./earlier-walks.ts";
import { packedScript } from "./packed-script.ts";
import type {
  DecideQuestion,
  MemoQuestion,
  SeasonAnswer,
  SeasonMessage,
  SeasonQuestion,
} from "./season-task.ts";
import type { ToldBefore } from "./told-before.ts";
import { workerTask } from "./worker-task.ts";

/** What the earlier walks of the pool in hand say. */
export const earlierWalks = new EarlierWalks(async ({ pool, readings, work }, share, told, hear) =>
  workerTask<SeasonMessage, readonly ToldBefore[]>(
    await packedScript("compute"),
    { task: "walks", pool, readings, work, ...share, told } satisfies SeasonQuestion,
    (message, done, fail) => {
      if ("read" in message) done(message.read);
      else if ("failed" in message) fail(new Error(message.failed));
      else if ("share" in message) hear(message.share);
    },
  ),
);

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
  await earlierWalks.read(question, onProgress);
  const [script, answers] = await Promise.all([packedScript("compute"), earlierWalks.told(name)]);
  const told = { answers, name: crypto.randomUUID() };
  return workerTask<SeasonMessage, SeasonAnswer>(
    script,
    { ...question, told } satisfies SeasonQuestion,
    (message, done, fail) => {
      if ("progress" in message) onProgress(message.progress);
      else if ("answer" in message) {
        void keepTold(name, message.found);
        done(message.answer);
      } else if ("failed" in message) fail(new Error(message.failed));
    },
  );
}
