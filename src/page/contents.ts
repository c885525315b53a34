import type { PadNote } from "../domain/pad.ts";
import type { Part } from "../domain/part.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault, Result } from "../domain/result.ts";
import type { TouchCheck } from "../domain/touch.ts";
import { withWalkNames } from "../domain/walk-names.ts";
import type { WorkEntry } from "../domain/work.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { readPads } from "../intake/read-pads.ts";
import { readParts } from "../intake/read-parts.ts";
import { readTouches } from "../intake/read-touches.ts";
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
  /** Presses, notes of water and pads, lines of the parts register. */
  readonly touches: readonly TouchCheck[];
  readonly pads: readonly PadNote[];
  readonly parts: readonly Part[];
  /** Rows of the logs that could not be used. */
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
    ...{ touches: [], pads: [], parts: [] },
    rejectedWork: [],
    warnings: [],
    sheets: [],
    struck: 0,
  },
};

/** A log of the deck day, as far as there is one. */
function logOf<Sheet>(
  file: KeptFile | null,
  reader: (text: string, name: string) => Result<Sheet, InputFault>,
): { readonly read: Sheet | null; readonly faults: readonly InputFault[] } {
  if (file === null) return { read: null, faults: [] };
  const result = reader(fileText(file), file.name);
  return result.ok ? { read: result.value, faults: [] } : { read: null, faults: [result.error] };
}

/** Reads all files of one pool. */
export function contentsOf(record: PoolRecord): Contents {
  const made = poolOf(record.pool);
  if (!made.ok) return { ...nothing, pool: null, faults: made.error };
  const pool = made.value;
  const sheets = chain.read(sheetsOf(record), pool);
  const file = record.work;
  const log = file === null ? null : readWorkLog(fileText(file), pool, file.name);
  const work = log?.entries ?? [];
  const touches = logOf(record.touches, (text, name) => readTouches(text, pool, name));
  const pads = logOf(record.pads, (text, name) => readPads(text, pool, name));
  const parts = logOf(record.parts, readParts);
  const logs = [touches, pads, parts];
  const readings = sheets.flatMap((sheet) => sheet.readings);
  return {
    pool,
    readings: withWalkNames(readings, pool, work),
    rejected: sheets.flatMap((sheet) => sheet.rejected),
    work,
    touches: touches.read?.touches ?? [],
    pads: pads.read?.notes ?? [],
    parts: parts.read?.parts ?? [],
    rejectedWork: [
      ...(log?.rejected ?? []),
      ...logs.flatMap(({ read }) => [...(read?.rejected ?? [])]),
    ],
    warnings: [
      ...sheets.flatMap((sheet) => sheet.warnings),
      ...(log?.warnings ?? []),
      ...logs.flatMap(({ read }) => [...(read?.warnings ?? [])]),
    ],
    faults: [
      ...sheets.flatMap((sheet) => sheet.faults),
      ...(log?.faults ?? []),
      ...logs.flatMap((one) => one.faults),
    ],
    struck: chain.struck,
    sheets,
  };
}
