import type { PoolProposal } from "../learning/learn-pool.ts";
import type { RankingChange } from "../learning/ranking-change.ts";

/** What `dropwise learn --json` prints. */
export const learnJson = (
  pool: string,
  { walks, gain, numbers }: PoolProposal,
  walk: string,
  changes: readonly RankingChange[],
) => ({
  schema: "dropwise-learn-1",
  pool,
  walks,
  gain,
  numbers,
  walk,
  changes: changes.map(({ connector: { connector, point, lane, device, end }, now, proposed }) => ({
    ...{ connector, point, lane, device, end, now, proposed },
  })),
});
