/**
 * `dropwise/learning`: the pool file's own numbers, by its walks.
 *
 * Source: the likelihood of src/MODEL.md, with the pool file's numbers left free.
 */
export {
  LEAST_WALKS,
  type LearntNumber,
  learnPool,
  type PoolProposal,
} from "../learning/learn-pool.ts";
export { learnRounds } from "../learning/learn-rounds.ts";
export { type RankingChange, rankingChanges } from "../learning/ranking-change.ts";
export { tabledWalk } from "../learning/tabled-walk.ts";
export type { WalkTable } from "../learning/walk-table.ts";
