import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";

/**
 * The path as a voltage divider: one meter on one point, switch open, nothing leaking. The series
 * resistance in front of the meter and the meter's own load share the supply between them.
 *
 * Everything beyond that (a closed switch, a wet pod) is `ladder.ts`.
 *
 * @see Kuphaldt, Lessons In Electric Circuits, vol. I DC, ch. 6 "Voltage divider circuits" and
 *   ch. 8 "Voltmeter impact on measured circuit".
 */

/**
 * What a meter shows behind a series resistance:
 *
 *     V = E * RL / (RL + Rs + S)                                          (1)
 *
 * An open contact (`seriesOhms` infinite) reads 0, whatever the meter; otherwise a meter that
 * draws no current (`loadOhms` infinite) shows the EMF, whatever the contacts.
 *
 * @param emf E, EMF of the supply [V].
 * @param loadOhms RL, load resistance of the meter, above 0 [Ω].
 * @param sourceOhms Rs, source resistance inside the timer, 0 or more [Ω].
 * @param seriesOhms S, wires and contacts up to the probed point, out and back, 0 or more [Ω].
 */
export function readingVolts(
  emf: Volts,
  loadOhms: Ohms,
  sourceOhms: Ohms,
  seriesOhms: Ohms,
): Volts {
  return volts(emf / (1 + (sourceOhms + seriesOhms) / finite(loadOhms)));
}

/**
 * The series resistance up to a point, from the reading at that point:
 *
 *     S = RL * (E / V - 1) - Rs                                           (2)
 *
 * A reading of 0 is an open path: infinite. A reading above what a path of no resistance gives
 * comes out negative, which says that E, Rs or the reading is not what it was taken for.
 *
 * @param emf E, EMF of the supply [V].
 * @param loadOhms RL, load resistance of the meter, finite and above 0 [Ω]; 1 gives the answer,
 *   and takes `sourceOhms`, in units of the load.
 * @param sourceOhms Rs, source resistance inside the timer, 0 or more [Ω].
 * @param reading V, what the meter showed, 0 or more [V].
 */
export function seriesOhmsFromReading(
  emf: Volts,
  loadOhms: Ohms,
  sourceOhms: Ohms,
  reading: Volts,
): Ohms {
  return ohms((loadOhms * (emf - reading)) / reading - sourceOhms);
}

/**
 * One contact and the wire in front of it, from the readings on both sides:
 *
 *     r + w = RL * E * (1 / V_after - 1 / V_before)                       (2)
 *
 * The source resistance cancels. A reading of 0 behind the contact only is an open contact:
 * infinite. A reading of 0 in front of it is an open path further up, and says nothing about this
 * contact: null.
 *
 * @param emf E, EMF of the supply [V].
 * @param loadOhms RL, load resistance of the meter, finite and above 0 [Ω]; 1 gives the answer in
 *   units of the load.
 * @param before Reading on the timer's side of the contact, 0 or more [V].
 * @param after Reading on the device's side, 0 or more [V].
 */
export function contactOhmsBetween(
  emf: Volts,
  loadOhms: Ohms,
  before: Volts,
  after: Volts,
): Ohms | null {
  if (before === 0) return null;
  return ohms((loadOhms * emf * (before - after)) / (before * after));
}

/** Keeps infinity over infinity out of (1): an open contact outweighs any meter. */
const finite = (resistance: number): number => Math.min(resistance, Number.MAX_VALUE);
