import { circuitName } from "../domain/place.ts";
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
  changes: changes.map(({ connector, now, then }) => ({
    connector: connector.connector,
    point: connector.point,
    ...circuitName({ ...connector, device: connector.device ?? "" }),
    device: connector.device,
    now,
    then,
  })),
});
