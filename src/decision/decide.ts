import type { Costs } from "../domain/costs.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { PoolTrend } from "../history/trend.ts";
import { cleanOrReplace } from "./clean-or-replace.ts";
import { connectorCases, costsOf } from "./connector-cases.ts";
import type { Decision } from "./decision.ts";
import { emptyMemory } from "./keeping.ts";

/** A connector this likely to be at fault is a suspect, and is decided on. */
export const SUSPECT = 0.2;

/**
 * Clean or replace, for every suspect of a walk, the likeliest at fault first. `progress` is told
 * how many are behind. Without a season (`trend` null) growth and film are as assumed before any.
 */
export function decide(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  costs: Costs = costsOf(pool),
  progress: (done: number, of: number) => void = () => {},
): readonly Decision[] {
  const suspects = connectorCases(pool, walk, trend, costs).filter(
    (each) => each.atFault >= SUSPECT,
  );
  const memory = emptyMemory();
  return suspects.map((subject, index) => {
    progress(index, suspects.length);
    return cleanOrReplace(subject, costs, memory);
  });
}
