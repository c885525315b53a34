import { Misuse } from "../../domain/misuse.ts";
import type { Pool } from "../../domain/pool.ts";
import { readPool } from "./read-pool.ts";

/**
 * What a person knows of a pool, in the pool file's own words; every key of the file may be given, as
 * `pool.schema.json` describes it, and what is left out has the file's default.
 */
export interface KnownPool {
  /** Its name. */
  readonly pool: string;
  /** How many lanes, or their names [lanes; whole, 1 or more]. */
  readonly lanes: number | readonly (number | string)[];
  readonly devices: readonly (string | Readonly<Record<string, unknown>>)[];
  readonly model?: string | Readonly<Record<string, unknown>>;
  /** The timer's supply: `volts` [V], `source_ohms` [Ω]. */
  readonly supply?: Readonly<Record<string, unknown>>;
  /** `load_ohms` [Ω] or "unknown", `resolution` [V], `noise` [V]. */
  readonly meters?: readonly Readonly<Record<string, unknown>>[];
  readonly [key: string]: unknown;
}

/** The pool; throws `Misuse` with all that is wrong. */
export function madePool(known: KnownPool): Pool {
  const read = readPool(JSON.stringify(known), "pool");
  if (read.ok) return read.value;
  const faults = read.error.map(({ place, message }) => `${place}: ${message}`);
  throw new Misuse("not-a-pool", faults.join("; "));
}
