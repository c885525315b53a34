import type { ConductingProblem } from "../problem.ts";

/** What may conduct behind one link with one law: readings cannot tell one from the other. */
export interface Alike extends ConductingProblem {
  /** By what may conduct in the circuit: its part of this one's chance. */
  readonly parts: readonly number[];
}

/** Joins what conducts behind one link with one law. */
export function alikeIn(conducting: readonly ConductingProblem[]): readonly Alike[] {
  const byPlace = new Map<string, ConductingProblem[]>();
  for (const one of conducting) {
    const key = `${one.link} ${one.medianOhms} ${one.logSd}`;
    byPlace.set(key, [...(byPlace.get(key) ?? []), one]);
  }
  return [...byPlace.values()].map((own) => {
    const chance = own.reduce((sum, one) => sum + one.chance, 0);
    const parts = conducting.map((one) => (own.includes(one) ? one.chance / chance : 0));
    return { parts, ...own[0]!, chance };
  });
}
