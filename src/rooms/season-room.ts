/**
 * `dropwise/season`: walks and works opened once.
 *
 * Source: src/MODEL.md, what a walk is; the order of time.
 */
export {
  type DiagnosedWalk,
  diagnoseSeason,
  diagnoseTimed,
  inOrderOfTime,
  type TimedWalk,
  walksOf,
} from "../season/diagnose-season.ts";
export { walkStarts } from "../season/inform-walk.ts";
export { latestWalk } from "../season/latest-walk.ts";
export { looksOf } from "../season/looks-of.ts";
export { openSeason, type Season, type SeasonProgress } from "../season/open-season.ts";
