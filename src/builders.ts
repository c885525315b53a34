import { type KnownReading, madeReading } from "./domain/made-reading.ts";
import { madeWalk, type Walk } from "./domain/made-walk.ts";
import { assertOneWalk } from "./domain/one-walk.ts";
import type { Pool } from "./domain/pool.ts";
import type { Reading } from "./domain/reading.ts";
import type { WorkEntry } from "./domain/work.ts";
import { type KnownPool, madePool } from "./intake/pool/made-pool.ts";
import * as season from "./season/diagnose-season.ts";

/**
 * What the verbs of `analyze.ts` work on, made from what a person knows of it. What is wrong with it is
 * wrong code, and throws `Misuse`; files, in which data may be wrong, come in by `openPool` and `readSheet`.
 */

/**
 * A pool from what a person knows of it, in the pool file's words. Throws `Misuse` with all that is wrong.
 *
 * @example
 * const pool = poolOf({ pool: "Kestrel Bay", model: "plain", lanes: 2, devices: ["touchpad"] });
 * console.log(pool.circuits.length, pool.meters[0].name); // 2 deck
 */
export const poolOf = (known: KnownPool): Pool => madePool(known);

/**
 * One reading from what a person knows of it: where, and the volts. What is left out is as an empty
 * cell of a sheet. Throws `Misuse` where the pool has no such place, or the volts are no number.
 *
 * @example
 * const pool = poolOf({ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad"] });
 * const one = reading(pool, { lane: 1, point: "plate", volts: 4.61 });
 * console.log(one.device, one.step, one.state); // touchpad 0.01 rest
 */
export const reading = (pool: Pool, known: KnownReading): Reading => {
  const made = madeReading(pool, known);
  assertOneWalk(pool, [made]);
  return made;
};

/**
 * One walk: readings of one state of the pool, from a sheet or from what a person knows of them. Throws
 * `Misuse` where they are of several walks, or not of this pool.
 *
 * @example
 * const pool = poolOf({ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad"] });
 * const walk = walkOf(pool, [
 *   { lane: 1, point: "plate", volts: 4.61 },
 *   { lane: 1, point: "pod", volts: 4.6 },
 * ]);
 * console.log(diagnose(walk).circuits[0].verdict); // weak
 */
export const walkOf = (pool: Pool, readings: readonly (Reading | KnownReading)[]): Walk =>
  madeWalk(pool, readings);

/**
 * Readings sorted into their walks, in the order of time: by the sheet's own names, else by silences of
 * six hours and the work between. A walk without a reading at rest is left out.
 *
 * @example
 * const pool = poolOf({ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad"] });
 * const rows = "1,pod,4.97,2026-05-09\n1,pod,4.96,2026-05-02\n";
 * const walks = walksOf(pool, readSheet(`lane,point,volts,taken_at\n${rows}`, pool).readings);
 * console.log(walks.map(({ walk }) => walk).join(", ")); // 2026-05-02, 2026-05-09
 */
export const walksOf = (
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[] = [],
): readonly Walk[] =>
  season.walksOf(pool, readings, work).map((one) => madeWalk(pool, one.readings()));
