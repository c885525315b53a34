import type { Costs } from "../domain/costs.ts";
import type { Decision } from "../domain/decision.ts";
import type { Facility } from "../domain/facility.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { MemoOptions } from "../economics/memo-options.ts";
import { weighSeason } from "../economics/weigh-options.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import { cleaningsOf, decideSeason } from "../policy/season-decisions.ts";
import type { Season, SeasonProgress } from "../season/open-season.ts";
import type { Run } from "./document.ts";

/** Everything that a capital request is written from. */
export interface MemoInput {
  readonly pool: Pool;
  /** The walk that the need rests on: the latest. */
  readonly walk: WalkDiagnosis;
  readonly readings: readonly Reading[];
  /** Cleanings that were scored, oldest first; empty where none were logged. */
  readonly cleanings: readonly CleaningScore[];
  readonly decisions: readonly Decision[];
  readonly options: MemoOptions;
  readonly costs: Costs;
  readonly facility: Facility;
}

/** What the memo of a season is written from. */
export const memoInputOf = (
  season: Season,
  given: Pick<MemoInput, "readings" | "costs" | "facility">,
  progress: SeasonProgress,
): MemoInput => ({
  ...given,
  pool: season.pool,
  walk: season.latest.diagnosis,
  cleanings: cleaningsOf(season),
  decisions: decideSeason(season, progress).decisions,
  options: weighSeason(season, given.costs),
});

/** What a person told us, or a blank with its name. */
export const orBlank = (value: string | null, name: string): Run => value ?? { blank: name };
