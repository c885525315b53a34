import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import type { WorkEntry } from "../domain/work.ts";
import { readPool } from "../intake/read-pool.ts";
import { type ReadingsSheet, readReadings } from "../intake/read-readings.ts";
import { readWorkLog } from "../intake/read-work-log.ts";
import { fileText, type KeptFile, type PoolRecord } from "./record.ts";

/** What a pool's files say, read anew after every change. */
export interface Contents {
  /** Null: the pool file can't be used, and `faults` says why. */
  readonly pool: Pool | null;
  readonly readings: readonly Reading[];
  readonly rejected: readonly Reject[];
  readonly work: readonly WorkEntry[];
  readonly rejectedWork: readonly Reject[];
  readonly warnings: readonly InputFault[];
  readonly faults: readonly InputFault[];
}

/** What each sheet said last, by its name: most changes leave most sheets alone. */
const sheetsRead = new Map<string, { text: string; pool: Pool; sheet: ReadingsSheet }>();
let lastPool: { text: string; result: ReturnType<typeof readPool> } | null = null;

function poolOf(file: KeptFile): ReturnType<typeof readPool> {
  const text = fileText(file);
  if (lastPool?.text !== text) lastPool = { text, result: readPool(text, file.name) };
  return lastPool.result;
}

function sheetOf(file: KeptFile, pool: Pool): ReadingsSheet {
  const text = fileText(file);
  const known = sheetsRead.get(file.name);
  if (known?.pool === pool && known.text === text) return known.sheet;
  const sheet = readReadings(text, pool, file.name);
  sheetsRead.set(file.name, { text, pool, sheet });
  return sheet;
}

/** Reads all files of one pool. */
export function contentsOf(record: PoolRecord): Contents {
  const pool = poolOf(record.pool);
  if (!pool.ok)
    return {
      pool: null,
      readings: [],
      rejected: [],
      work: [],
      rejectedWork: [],
      warnings: [],
      faults: pool.error,
    };
  const sheets = record.sheets.map((file) => sheetOf(file, pool.value));
  const file = record.work;
  const log = file === null ? null : readWorkLog(fileText(file), pool.value, file.name);
  return {
    pool: pool.value,
    readings: sheets.flatMap((sheet) => sheet.readings),
    rejected: sheets.flatMap((sheet) => sheet.rejected),
    work: log?.entries ?? [],
    rejectedWork: log?.rejected ?? [],
    warnings: sheets.flatMap((sheet) => sheet.warnings),
    faults: [...sheets.flatMap((sheet) => sheet.faults), ...(log?.faults ?? [])],
  };
}
