import { sameCircuit } from "../domain/place.ts";
import type { CircuitTrend, ContactTrend, PoolTrend } from "../history/trend.ts";

/** A path at its limit by the latest walk has that walk's day for every quantile. */
export const isAtLimit = ({ crossing }: CircuitTrend): boolean =>
  crossing !== null && crossing.low === crossing.high;

/** Resistance that the latest walk gives a contact, median; 0 where none has read it [Ω]. */
const latestOhms = ({ segments }: ContactTrend): number =>
  segments.flatMap(({ observations }) => observations).at(-1)?.ohms.median ?? 0;

/**
 * The contact that a path's forecast is about. Where the path is at its limit already, that is seen
 * and not forecast: the one that takes the most in the latest walk, be it only broken.
 */
export function leadingContact(
  { contacts }: PoolTrend,
  circuit: CircuitTrend,
): ContactTrend | undefined {
  const own = contacts.filter((one) => sameCircuit(one, circuit));
  if (!isAtLimit(circuit)) return own.find((one) => one.point === circuit.driver);
  const [first, ...rest] = own;
  if (first === undefined) return undefined;
  return rest.reduce((most, one) => (latestOhms(one) > latestOhms(most) ? one : most), first);
}
