/** `dropwise/season`: walks and works opened once. */
export {
  type DiagnosedWalk,
  diagnoseSeason,
  diagnoseTimed,
  inOrderOfTime,
  type TimedWalk,
  walksOf,
} from "../season/diagnose-season.ts";
export { latestWalk } from "../season/latest-walk.ts";
export { looksOf } from "../season/looks-of.ts";
export { openSeason, type Season, type SeasonProgress } from "../season/open-season.ts";
