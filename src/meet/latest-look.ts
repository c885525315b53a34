import type { ConnectorFinding, WalkDiagnosis } from "../domain/findings.ts";
import { type CircuitName, isAboveLanes, placeKey, sameCircuit } from "../domain/place.ts";
import type { WorkEntry } from "../domain/work.ts";

/** One walk, diagnosed, and when it was. */
export interface Look {
  readonly diagnosis: WalkDiagnosis;
  /** `YYYY-MM-DD`; null where the sheet does not tell. */
  readonly day: string | null;
  /**
   * Of its first reading, since 1970-01-01T00:00; null where only the day is known [s since 1970].
   */
  readonly seconds: number | null;
}

/**
 * The newest walk that read this circuit: who reads lane 3 again on Saturday has not forgotten what
 * Friday's round said of the other lanes. `looks` in the order of time.
 */
export const latestLook = (looks: readonly Look[], circuit: CircuitName): Look | null =>
  looks.findLast(({ diagnosis }) => diagnosis.contacts.some((c) => sameCircuit(c, circuit))) ??
  null;

/**
 * Every connector's newest finding. For one that lanes share a later walk may have read
 * only some of its circuits, so the walk that speaks worst of it counts.
 */
export function latestConnectors(looks: readonly Look[]): ConnectorFinding[] {
  const newest = new Map<string, ConnectorFinding>();
  for (const { diagnosis } of looks)
    for (const finding of diagnosis.connectors) {
      const key = placeKey(finding);
      const before = newest.get(key);
      const keeps = isAboveLanes(finding) && (before?.atFault ?? 0) > finding.atFault;
      if (!keeps) newest.set(key, finding);
    }
  return [...newest.values()];
}

/**
 * Work that this look can't have seen. On the day of a walk without times it counts as done after
 * it: whoever finds a fault cleans it, and what was not read again is not proven.
 */
export function workSince(look: Look, work: readonly WorkEntry[], until: string): WorkEntry[] {
  const { day, seconds } = look;
  if (day === null) return [];
  return work.filter(({ doneAt }) => {
    if (doneAt.day > until || doneAt.day < day) return false;
    if (doneAt.day > day || seconds === null || doneAt.seconds === null) return true;
    return doneAt.seconds > seconds;
  });
}
