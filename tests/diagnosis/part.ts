import { type ChainPool, chainPools, type PartReading } from "../../src/diagnosis/chain-pool.ts";
import { type ReadWalk, readWalk } from "../../src/diagnosis/walk-model.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";

/** The only part of a pool whose circuits all pass one chain. */
export const partOf = (pool: Pool): ChainPool => chainPools(pool)[0]!;

/** Its walk, sorted into circuits. */
export const readPart = (pool: Pool, readings: readonly Reading[], unread = false): ReadWalk =>
  readWalk(partOf(pool), readings as readonly PartReading[], unread);
