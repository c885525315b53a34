import type { WantedReading } from "../domain/findings.ts";
import { circuitName } from "../domain/place.ts";
import type { CircuitView } from "./evidence.ts";

/** A contact this likely to be faulty, and not certain to be, is a suspect. */
const SUSPECT = 0.05;

/**
 * Which neighbours of link `i` the readings cannot tell from it: suspects of the same circuit with
 * no reading taken between the two. The reading nearest the timer that lies between would separate
 * them.
 */
export function inseparable(
  { circuit, contacts, problem }: CircuitView,
  i: number,
): { readonly inseparableFrom: readonly string[]; readonly wouldSeparate: WantedReading | null } {
  const isSuspect = (k: number): boolean => {
    const fault = 1 - contacts[k]!.sound;
    return fault > SUSPECT && fault < 1 - SUSPECT;
  };
  if (!isSuspect(i)) return { inseparableFrom: [], wouldSeparate: null };
  const isUnread = (k: number): boolean => problem.readings[k]!.length === 0;
  const neighbours: number[] = [];
  for (let k = i - 1; k >= 0 && isUnread(k); k--) neighbours.unshift(k);
  for (let k = i + 1; k < circuit.path.length && isUnread(k - 1); k++) neighbours.push(k);
  const suspects = neighbours.filter(isSuspect);
  if (suspects.length === 0) return { inseparableFrom: [], wouldSeparate: null };
  // What a reading at a point shows is whether the fault lies before or behind it.
  const before = suspects.filter((k) => k < i);
  const between = before.length > 0 ? Math.max(...before) : i;
  return {
    inseparableFrom: suspects.map((k) => circuit.path[k]!.point),
    wouldSeparate: { ...circuitName(circuit), point: circuit.path[between]!.point },
  };
}
