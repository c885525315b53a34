import { dayText } from "../domain/calendar.ts";
import type { Costs } from "../domain/costs.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { PoolTrend } from "../history/trend.ts";
import { cleanOrReplace } from "./clean-or-replace.ts";
import { connectorCases, costsOf } from "./connector-cases.ts";
import type { Decision, ReadAgain } from "./decision.ts";
import { emptyMemory } from "./keeping.ts";
import { workSince } from "./work-since.ts";

/** A connector this likely to be at fault is a suspect, and is decided on. */
export const SUSPECT = 0.2;

/**
 * Clean or replace, for every suspect of a walk that was not worked on since, the likeliest at fault
 * first. `progress` is told how many are behind. Without a season (`trend` null) growth and film are
 * as assumed before any.
 */
export function decide(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  costs: Costs = costsOf(pool),
  progress: (done: number, of: number) => void = () => {},
): readonly Decision[] {
  const suspects = connectorCases(pool, walk, trend, costs).filter(
    (each) => each.atFault >= SUSPECT && each.workSince === null,
  );
  const memory = emptyMemory();
  return suspects.map((subject, index) => {
    progress(index, suspects.length);
    return cleanOrReplace(subject, costs, memory);
  });
}

/** The other suspects: what was done to them since the walk, in the order of its ranking. */
export function toReadAgain(walk: WalkDiagnosis, trend: PoolTrend | null): readonly ReadAgain[] {
  return walk.connectors.flatMap((finding): ReadAgain[] => {
    const { connector, point, lane, device, end, lanes, sharing, atFault } = finding;
    const done = workSince(walk, trend, finding);
    if (atFault < SUSPECT || done === null) return [];
    const place = { connector, point, lane, device, end, lanes, sharing };
    return [{ place, atFault, action: done.action, date: dayText(done.day) }];
  });
}
