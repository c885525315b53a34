import type { ContactFinding, WalkDiagnosis } from "../../domain/findings.ts";

/** No probability over this is stated of a walk that does not fit. */
const MOST_STATED = 0.95;

const cut = (p: number): number => Math.min(p, MOST_STATED);

/** A diagnosis of a walk that does not fit: no probability over 95 %. */
export const clamped = (walk: WalkDiagnosis): WalkDiagnosis => ({
  ...walk,
  connectors: walk.connectors.map((one) => ({
    ...one,
    atFault: cut(one.atFault),
    worst: clampedContact(one.worst),
    fails: one.fails.map((way) => ({ ...way, probability: cut(way.probability) })),
  })),
  contacts: walk.contacts.map(clampedContact),
  circuits: walk.circuits.map((one) => ({
    ...one,
    underLimit: one.underLimit === null ? null : cut(one.underLimit),
    conducting: one.conducting.map((way) => ({ ...way, probability: cut(way.probability) })),
  })),
  explanations: walk.explanations.map((one) => ({ ...one, probability: cut(one.probability) })),
});

/** A state over the most gives what it has over it to the others, as they are to each other. */
function clampedContact(contact: ContactFinding): ContactFinding {
  const { sound, fouled, open, cable, intermittent } = contact;
  const most = Math.max(sound, fouled, open, intermittent);
  if (most <= MOST_STATED) return contact;
  const rest = sound + fouled + open + intermittent - most;
  const of = (p: number): number =>
    p === most ? MOST_STATED : rest > 0 ? (p * (1 - MOST_STATED)) / rest : (1 - MOST_STATED) / 3;
  const opened = of(open);
  return {
    ...contact,
    ...{ sound: of(sound), fouled: of(fouled), open: opened, intermittent: of(intermittent) },
    cable: open > 0 ? (cable * opened) / open : 0,
  };
}
