import type { WalkDiagnosis } from "../domain/findings.ts";
import type { ReadingAcceptance, WalkStanding } from "../domain/margins.ts";
import { circuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { volts } from "../domain/units.ts";
import { acceptanceOfNormal, TOLERATED } from "./acceptance.ts";
import { circuitMargins } from "./circuit-margins.ts";
import { readingSd } from "./detection-limit.ts";
import { limitVoltsOr0 } from "./limit.ts";

/**
 * Every circuit of a diagnosed walk against the timer's own thresholds, and what one reading by
 * itself says of the facility's limit, its risk stated.
 *
 * @param readings The walk's readings: the pressed ones tell of the switches.
 */
export const walkStanding = (
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
): WalkStanding => ({
  acceptance: readingAcceptance(pool, readings),
  circuits: walk.circuits.map((circuit) => ({
    ...circuitName(circuit),
    margins: circuitMargins(pool, walk, circuit, readings),
  })),
});

/**
 * The guard band for one reading of the pool's first meter, everything else about the circuit left
 * out: JCGM 106:2012, 8.3.2, with the reading's own standard uncertainty.
 */
function readingAcceptance(pool: Pool, readings: readonly Reading[]): ReadingAcceptance {
  const { name, noise, resolution } = pool.meters[0]!;
  const shown = readings.filter(({ meter }) => meter === name);
  const step = resolution ?? volts(shown.reduce((finer, one) => Math.min(finer, one.step), 0.1));
  const sd = readingSd(noise, step);
  const limit = limitVoltsOr0(pool);
  const { guardBand, acceptanceLimit } = acceptanceOfNormal(limit, sd, limit);
  return { meter: name, step, readingSd: sd, guardBand, acceptanceLimit, tolerated: TOLERATED };
}
