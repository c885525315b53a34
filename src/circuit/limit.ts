import { type Circuit, pathWire, type Supply } from "../domain/circuit.ts";
import { filmPart, type Limit, type Meter, type Pool } from "../domain/pool.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { readingVolts, seriesOhmsFromReading } from "./divider.ts";

/**
 * The facility's limit of a whole path, in ohms and in volts. A limit in volts is meant for one meter
 * at the supply's nominal EMF, and the source resistance does not count:
 *
 *     R_limit = RL (E_nominal / V_limit - 1)
 *
 * Equation (1) without Rs. On a meter whose load nobody knows, or that draws next to no current, volts
 * say nothing about ohms.
 */

/** The load of the limit's meter [Ω]; null where nobody knows it, or the limit is in ohms. */
export const limitLoad = (limit: Limit, meters: readonly Meter[]): Ohms | null =>
  "ohms" in limit ? null : (meters.find(({ name }) => name === limit.meter)?.loadOhms ?? null);

/** A meter of a higher load draws too little for its volts to judge a path [Ω]. */
const MOST_JUDGING_LOAD = 100_000;

/** Most ohms of a whole path, wires and contacts [Ω]; null where the limit judges nothing. */
export function limitOhms(
  { limit, meters }: Pick<Pool, "limit" | "meters">,
  supply: Pick<Supply, "emf">,
): Ohms | null {
  if ("ohms" in limit) return limit.ohms;
  const load = limitLoad(limit, meters);
  if (load === null || load > MOST_JUDGING_LOAD) return null;
  return seriesOhmsFromReading(supply.emf, load, ohms(0), limit.volts);
}

/**
 * The contact that a meter must show before a path read with it may be called sound [Ω]: the one that
 * takes the path to its limit, all others sound at their median; where the limit judges nothing, a
 * median fouled one.
 */
export function mustShow(pool: Pool, { path, supply }: Circuit): Ohms {
  const limit = limitOhms(pool, supply);
  if (limit === null) return filmPart(pool.contact).medianOhms;
  return ohms(limit - pathWire(path) - pool.contact.sound.medianOhms * (path.length - 1));
}

/**
 * What a path at the limit shows at its last point, at the nominal EMF [V]: the limit itself, or, for
 * one in ohms, the first meter's reading; null where that meter's load is unknown.
 */
export function limitVolts({
  limit,
  meters,
  supplies,
}: Pick<Pool, "limit" | "meters" | "supplies">): Volts | null {
  if (!("ohms" in limit)) return limit.volts;
  const load = meters[0]!.loadOhms;
  const supply = supplies[0]!;
  return load === null ? null : readingVolts(supply.emf, load, ohms(0), limit.ohms);
}

/** The same for what must have a number: with no volts to go by, nothing is under the limit [V]. */
export const limitVoltsOr0 = (pool: Pick<Pool, "limit" | "meters" | "supplies">): Volts =>
  limitVolts(pool) ?? volts(0);
