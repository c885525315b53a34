/**
 * `dropwise/season`: walks and works opened once.
 *
 * Source: src/MODEL.md, what a walk is; the order of time.
 */
export {
  asksForRivals,
  type DiagnosedWalk,
  diagnosed,
  diagnoseSeason,
  diagnoseTimed,
  inOrderOfTime,
  type TimedWalk,
  walkQuestion,
  walksOf,
  walksUntil,
} from "../season/diagnose-season.ts";
export { followSeason } from "../season/follow-season.ts";
export { walkStarts } from "../season/inform-walk.ts";
export { askOnce, type Keeper, noKeeper, type Question, spelt } from "../season/keeper.ts";
export { latestWalk } from "../season/latest-walk.ts";
export { looksOf } from "../season/looks-of.ts";
export { openSeason, type Season, type SeasonProgress } from "../season/open-season.ts";
