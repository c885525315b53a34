import { readingVolts, seriesOhmsFromReading } from "../circuit/divider.ts";
import { limitOhms } from "../circuit/limit.ts";
import { type Circuit, pathWire, sourceOr0 } from "../domain/circuit.ts";
import { type Pool, UNIT_LOAD } from "../domain/pool.ts";
import { type Ohms, ohms, volts } from "../domain/units.ts";

/** The circuit around one contact, from its ohms to the last point's volts. */
export interface PathAround {
  /** [V] */
  readonly emf: number;
  /** Load of the meter that reads it [Ω]. */
  readonly loadOhms: number;
  /** Inside the timer [Ω]. */
  readonly sourceOhms: number;
  /** Wire and the other contacts, sound [Ω]. */
  readonly restOhms: number;
}

/** A closed switch [Ω]: what the touch margin leaves room for. */
const CLOSED_SWITCH = 5;

/** The path around one contact of a circuit, every other contact sound. */
export function pathAround(pool: Pool, { path, supply }: Circuit): PathAround {
  const sound = pool.contact.sound.medianOhms;
  return {
    emf: supply.emf,
    loadOhms: pool.meters[0]?.loadOhms ?? UNIT_LOAD,
    sourceOhms: sourceOr0(supply),
    restOhms: pathWire(path) + (path.length - 1) * sound,
  };
}

/** Whether the timer's own input says where a touch is lost: then what is low loses for certain. */
export const timerSays = (pool: Pool, { supply }: Circuit): boolean =>
  pool.timerInput !== null && sourceOr0(supply) > 0 && supply.emf > pool.timerInput.lowMax;

/**
 * Ohms of a whole path at which it counts as low: by equation (3) at its threshold where the timer's
 * input is known, else by the facility's limit, on a stand-in load where nobody knows the meter's.
 */
export function pathLimit(pool: Pool, circuit: Circuit): Ohms {
  const { emf, sourceOhms, loadOhms } = pathAround(pool, circuit);
  const input = pool.timerInput;
  if (input !== null && timerSays(pool, circuit))
    return ohms((sourceOhms * input.lowMax) / (emf - input.lowMax) - CLOSED_SWITCH);
  const limit = limitOhms(pool, circuit.supply);
  if (limit !== null) return limit;
  if ("ohms" in pool.limit) return pool.limit.ohms;
  return seriesOhmsFromReading(volts(emf), ohms(loadOhms), ohms(0), pool.limit.volts);
}

/** Last point's reading with this contact resistance, the others having `excess` over sound ones [V]. */
export const readingAt = (path: PathAround, contactOhms: number, excess = 0): number =>
  readingVolts(
    volts(path.emf),
    ohms(path.loadOhms),
    ohms(path.sourceOhms),
    ohms(path.restOhms + excess + contactOhms),
  );

/** Contact resistance behind a reading of the last point, all else as it is [Ω]. */
export const contactBehind = (path: PathAround, reading: number, excess = 0): number =>
  seriesOhmsFromReading(
    volts(path.emf),
    ohms(path.loadOhms),
    ohms(path.sourceOhms),
    volts(reading),
  ) -
  path.restOhms -
  excess;
