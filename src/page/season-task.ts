import { unknownFacility } from "../domain/facility.ts";
import { type MemoInput, memoInputOf } from "../report/memo-input.ts";
import { costsOf, decideSeason, type SeasonDecisions } from "../rooms/policy-room.ts";
import {
  asksForRivals,
  diagnoseTimed,
  followSeason,
  type Keeper,
  noKeeper,
  type Season,
  walksOf,
} from "../rooms/season-room.ts";
import { type DayAnswer, type DayQuestion, dayOf } from "./day-task.ts";
import type { SeasonData, Told, WalkShare } from "./earlier-walks.ts";
import { SlotKeeper, type ToldBefore } from "./told-before.ts";

/** What takes a whole season to answer. */
export interface DecideQuestion extends SeasonData {
  readonly task: "decide";
}
export interface MemoQuestion extends SeasonData {
  readonly task: "memo";
}
/** A share of the earlier walks, to be known when more is asked. */
export interface WalksQuestion extends SeasonData, WalkShare {
  readonly task: "walks";
}
type Asked = DecideQuestion | MemoQuestion | DayQuestion;
export type SeasonQuestion = (Asked | WalksQuestion) & {
  /** What the page has found about this pool before. */
  readonly told?: Told;
};
export type SeasonAnswer = SeasonDecisions | MemoInput | DayAnswer;

/** What comes back: how far it is, again and again, and at last an answer or why there is none. */
export type SeasonMessage =
  | { readonly progress: string; readonly share: number }
  | { readonly answer: SeasonAnswer; readonly found: readonly ToldBefore[] }
  /** A share of the walks is read. */
  | { readonly read: readonly ToldBefore[] }
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

function answerOf(question: Asked, progress: Progress, keeper: Keeper): SeasonAnswer {
  switch (question.task) {
    case "memo":
      return memoOf(question, progress, keeper);
    case "decide":
      return decideSeason(seasonOf(question, progress, keeper), progress);
    case "day":
      return dayOf(question, progress, keeper);
  }
}

/** Diagnoses a share of the walks; not the latest, which goes on. */
function readShare(
  { pool, readings, work, part, of }: WalksQuestion,
  progress: Progress,
  keeper: Keeper,
): void {
  const walks = walksOf(pool, readings, work);
  const own = walks.slice(0, -1).filter((_, index) => index % of === part);
  own.forEach((walk, index) => {
    progress("walks", index, own.length);
    diagnoseTimed(pool, walk, asksForRivals(walk, walks), null, keeper);
  });
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
    if (words !== last) tell({ progress: words, share: done / Math.max(1, of) });
    last = words;
  };
  try {
    const { told } = question;
    const keeper =
      build === null || told === undefined
        ? noKeeper
        : new SlotKeeper(build, told.name, told.answers);
    const found = keeper instanceof SlotKeeper ? keeper.found : [];
    if (question.task === "walks") {
      readShare(question, progress, keeper);
      tell({ read: found });
      return;
    }
    const answer = answerOf(question, progress, keeper);
    tell({ answer, found });
  } catch (error) {
    tell({ failed: error instanceof Error ? error.message : String(error) });
  }
}
