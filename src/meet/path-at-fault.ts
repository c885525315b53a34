import type { WalkDiagnosis } from "../domain/findings.ts";
import { isFaulty } from "../domain/findings.ts";
import { type CircuitName, sameCircuit } from "../domain/place.ts";

/** Points of this circuit more likely faulty than not, the worst first; else the worst alone. */
export function suspectPoints({ contacts }: WalkDiagnosis, circuit: CircuitName): string[] {
  const own = contacts.filter((c) => sameCircuit(c, circuit)).sort((a, b) => a.sound - b.sound);
  const bad = own.filter(isFaulty);
  return (bad.length > 0 ? bad : own.slice(0, 1)).map((contact) => contact.point);
}

/**
 * P(at least one contact of this circuit's path is faulty), or null where the walk never read it.
 *
 * The diagnosis gives each contact's own probability. Contacts that the readings cannot tell apart
 * share one fault between them, so their probabilities add (to at most 1); all others are taken as
 * independent. Exact where at most one group is in doubt, which is the usual case.
 */
export function pathAtFault(walk: WalkDiagnosis, circuit: CircuitName): number | null {
  const contacts = walk.contacts.filter((c) => sameCircuit(c, circuit));
  if (contacts.length === 0) return null;
  const group = new Map(contacts.map((c) => [c.point, c.point]));
  const rootOf = (point: string): string => {
    const up = group.get(point) ?? point;
    return up === point ? point : rootOf(up);
  };
  for (const connector of walk.connectors) {
    const { worst } = connector;
    if (!sameCircuit(worst, circuit) || !group.has(connector.point)) continue;
    for (const twin of connector.inseparableFrom)
      if (group.has(twin)) group.set(rootOf(twin), rootOf(connector.point));
  }
  const faulty = new Map<string, number>();
  for (const contact of contacts) {
    const root = rootOf(contact.point);
    faulty.set(root, Math.min(1, (faulty.get(root) ?? 0) + 1 - contact.sound));
  }
  return 1 - [...faulty.values()].reduce((sound, share) => sound * (1 - share), 1);
}
