import { normalCdf } from "../distributions/normal.ts";
import type { Estimate } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { halfWidth } from "./fast-normal.ts";
import type { FittedContact } from "./growth.ts";

/** Where one cleaning brought a contact: its resistance just after. */
export interface Floor {
  readonly day: number;
  readonly begunBy: "cleaned" | "reseated" | "replaced";
  /** 90 % [Ω] */
  readonly ohms: Estimate;
}

/** The floors of one contact, and whether they rise: that rise is what cleaning cannot cure. */
export interface FloorCreep {
  /** Oldest first, since it was last replaced. */
  readonly floors: readonly Floor[];
  /** Rise of the floor [ln ohm a year], 90 %. */
  readonly creep: Estimate;
  /** P(the floor rises). */
  readonly rising: number;
  /** Where a cleaning on the given day should bring it, 90 % [Ω]. */
  readonly nextFloor: Estimate;
}

/** Standard deviation of how far down one cleaning gets, beside another of the same contact. */
const FLOOR_SCATTER = 0.5;
/** Standard deviation of creep, before any floor was seen [ln ohm a year]. */
const CREEP_BEFORE = 1;
const DAYS_PER_YEAR = 365.25;
const NINETY = halfWidth(0.9);

const ohmsOf = (mean: number, variance: number): Estimate => {
  const reach = NINETY * Math.sqrt(variance);
  return { median: Math.exp(mean), low: Math.exp(mean - reach), high: Math.exp(mean + reach) };
};

/**
 * Normal regression of log floors on years, with the sound contact of the pool file as the prior of
 * the first floor and no creep as the prior of creep. `day` is that of the next cleaning.
 */
export function floorCreep(
  { history, fit }: FittedContact,
  contact: Pool["contact"],
  day: number,
): FloorCreep {
  const replaced = history.segments.findLastIndex(({ begunBy }) => begunBy === "replaced");
  const seen = history.segments.flatMap(({ begunBy, begun }, s) =>
    s < replaced || begunBy === "first walk" || !Number.isFinite(fit.levels[s]!.ownVariance)
      ? []
      : [{ begunBy, day: begun, ...fit.levels[s]! }],
  );
  const origin = seen[0]?.day ?? day;
  const sound2 = contact.sound.logSd ** 2;
  // Precision and pull of (first floor, creep).
  let [p00, p01, p11] = [1 / sound2, 0, 1 / CREEP_BEFORE ** 2];
  let [q0, q1] = [Math.log(contact.sound.medianOhms) / sound2, 0];
  for (const floor of seen) {
    const weight = 1 / (floor.ownVariance + FLOOR_SCATTER ** 2);
    const years = (floor.day - origin) / DAYS_PER_YEAR;
    p00 += weight;
    p01 += weight * years;
    p11 += weight * years * years;
    q0 += weight * floor.ownLevel;
    q1 += weight * years * floor.ownLevel;
  }
  const determinant = p00 * p11 - p01 * p01;
  const [v00, v01, v11] = [p11 / determinant, -p01 / determinant, p00 / determinant];
  const first = v00 * q0 + v01 * q1;
  const creep = v01 * q0 + v11 * q1;
  const creepSd = Math.sqrt(v11);
  const years = (day - origin) / DAYS_PER_YEAR;
  const nextVariance = v00 + 2 * v01 * years + v11 * years * years + FLOOR_SCATTER ** 2;
  return {
    floors: seen.map(({ begunBy, day: on, level, levelVariance }) => ({
      day: on,
      begunBy,
      ohms: ohmsOf(level, levelVariance),
    })),
    creep: { median: creep, low: creep - NINETY * creepSd, high: creep + NINETY * creepSd },
    rising: normalCdf(creep / creepSd),
    nextFloor: ohmsOf(first + creep * years, nextVariance),
  };
}
