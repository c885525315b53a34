import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { withWalkNames } from "../domain/walk-names.ts";
import type { WorkEntry } from "../domain/work.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { readWorkLog } from "../intake/read-work-log.ts";
import { fileText, type KeptFile, type PoolRecord, sheetsOf } from "./record.ts";
import { type OneSheet, SheetChain } from "./sheet-chain.ts";

/** What a pool's files say, read anew after every change. */
export interface Contents {
  /** Null: the pool file can't be used, and `faults` says why. */
  readonly pool: Pool | null;
  /** Every reading once, whatever files it stands in, none that was struck out; with its walk. */
  readonly readings: readonly Reading[];
  readonly rejected: readonly Reject[];
  readonly work: readonly WorkEntry[];
  readonly rejectedWork: readonly Reject[];
  readonly warnings: readonly InputFault[];
  readonly faults: readonly InputFault[];
  /** How many strikes stand in them, of whatever readings. */
  readonly struck: number;
  /** What each sheet gave, in the order of `sheetsOf`. */
  readonly sheets: readonly OneSheet[];
}

let lastPool: { text: string; result: ReturnType<typeof readPool> } | null = null;

function poolOf(file: KeptFile): ReturnType<typeof readPool> {
  const text = fileText(file);
  if (lastPool?.text !== text) lastPool = { text, result: readPool(text, file.name) };
  return lastPool.result;
}

const chain = new SheetChain();

const nothing: Omit<Contents, "pool" | "faults"> = {
  ...{
    readings: [],
    rejected: [],
    work: [],
    rejectedWork: [],
    warnings: [],
    sheets: [],
    struck: 0,
  },
};

/** Reads all files of one pool. */
export function contentsOf(record: PoolRecord): Contents {
  const made = poolOf(record.pool);
  if (!made.ok) return { ...nothing, pool: null, faults: made.error };
  const pool = made.value;
  const sheets = chain.read(sheetsOf(record), pool);
  const file = record.work;
  const log = file === null ? null : readWorkLog(fileText(file), pool, file.name);
  const work = log?.entries ?? [];
  const readings = sheets.flatMap((sheet) => sheet.readings);
  return {
    pool,
    readings: withWalkNames(readings, pool, work),
    rejected: sheets.flatMap((sheet) => sheet.rejected),
    work,
    rejectedWork: log?.rejected ?? [],
    warnings: [...sheets.flatMap((sheet) => sheet.warnings), ...(log?.warnings ?? [])],
    faults: [...sheets.flatMap((sheet) => sheet.faults), ...(log?.faults ?? [])],
    struck: chain.struck,
    sheets,
  };
}
