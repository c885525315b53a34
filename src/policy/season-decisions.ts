import type { Decision, ReadAgain } from "../domain/decision.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import type { Season, SeasonProgress } from "../season/open-season.ts";
import { decide, toReadAgain } from "./decide.ts";

/** What to do about a season's latest walk. */
export interface SeasonDecisions {
  readonly decisions: readonly Decision[];
  /** Suspects that were worked on since the latest walk, and are not decided on. */
  readonly readAgain: readonly ReadAgain[];
}

/** The latest walk's suspects, decided on by all that the season says. */
export const decideSeason = (
  { pool, latest, trend, ask }: Season,
  progress: SeasonProgress = () => {},
): SeasonDecisions =>
  ask("decisions", [], () => ({
    decisions: decide(pool, latest.diagnosis, trend, undefined, (done, of) =>
      progress("courses", done, of),
    ),
    readAgain: toReadAgain(latest.diagnosis, trend),
  }));

/** Every cleaning that was scored, the oldest first. */
export const cleaningsOf = ({ trend }: Season): readonly CleaningScore[] =>
  (trend?.cleanings.classes ?? [])
    .flatMap((one) => one.cleanings)
    .toSorted((a, b) => a.day - b.day);
