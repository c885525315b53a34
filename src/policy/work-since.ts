import { type ConnectorFinding, SUSPECT, type WalkDiagnosis } from "../domain/findings.ts";
import { sameCircuit } from "../domain/place.ts";
import type { WorkAction } from "../domain/work.ts";
import type { PoolTrend } from "../history/trend.ts";

/** Work on a connector that a walk knows nothing of. */
export interface WorkSince {
  readonly action: WorkAction;
  /** Day number of the work (see domain/calendar.ts). */
  readonly day: number;
}

/** Whether something is decided on a connector: a suspect that nobody has worked on since. */
export const isDecidedOn = (
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  finding: ConnectorFinding,
): boolean => finding.atFault >= SUSPECT && workSince(walk, trend, finding) === null;

/**
 * The last work on a connector after the walk that accuses it; null: none is logged, or the walk
 * has no date to tell by. Its worst contact stands for all: work on a connector concerns each of
 * its contacts, and this one was read in the walk.
 */
export function workSince(
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  { worst }: ConnectorFinding,
): WorkSince | null {
  const segments =
    trend?.contacts.find((each) => sameCircuit(each, worst) && each.point === worst.point)
      ?.segments ?? [];
  const seenIn = segments.findLastIndex(({ observations }) =>
    observations.some((each) => each.walk === walk.walk),
  );
  const last = segments.at(-1);
  if (seenIn < 0 || seenIn === segments.length - 1 || last === undefined) return null;
  return last.begunBy === "first walk" ? null : { action: last.begunBy, day: last.begun };
}
