import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { noRows } from "../domain/row-counts.ts";
import type { WorkEntry } from "../domain/work.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { ReadingsReader, type ReadingsSheet } from "../intake/read-readings.ts";
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

/** A sheet as far as it was read. */
interface OpenSheet {
  readonly pool: Pool;
  readonly reader: ReadingsReader;
  readonly readings: Reading[];
  readonly rejected: Reject[];
  text: string;
  sheet: ReadingsSheet;
}

/** What each sheet said last, by its name: most changes leave most sheets alone. */
const sheetsRead = new Map<string, OpenSheet>();
let lastPool: { text: string; result: ReturnType<typeof readPool> } | null = null;

function poolOf(file: KeptFile): ReturnType<typeof readPool> {
  const text = fileText(file);
  if (lastPool?.text !== text) lastPool = { text, result: readPool(text, file.name) };
  return lastPool.result;
}

function openSheet(pool: Pool, file: string): OpenSheet {
  const readings: Reading[] = [];
  const rejected: Reject[] = [];
  const sink = {
    reading: (reading: Reading) => void readings.push(reading),
    reject: (reject: Reject) => void rejected.push(reject),
  };
  const reader = new ReadingsReader(pool, sink, { file });
  const sheet = { readings, rejected, rows: noRows, warnings: [], faults: [] };
  return { pool, reader, readings, rejected, text: "", sheet };
}

/**
 * Only more rows came, each on a line of its own: the reader goes on where it was. A season's sheet
 * takes many times as long to read as one row of it, and rows come while somebody waits.
 */
const goesOn = (known: OpenSheet, pool: Pool, text: string): boolean =>
  known.pool === pool &&
  known.text.endsWith("\n") &&
  text.startsWith(known.text) &&
  known.sheet.faults.length === 0 &&
  !known.rejected.some((one) => one.kind === "open-quote");

/** Characters handed to the reader at a time. */
const pieceLength = 1 << 16;

function sheetOf(file: KeptFile, pool: Pool): ReadingsSheet {
  const text = fileText(file);
  const known = sheetsRead.get(file.name);
  if (known?.pool === pool && known.text === text) return known.sheet;
  const open =
    known !== undefined && goesOn(known, pool, text) ? known : openSheet(pool, file.name);
  for (let start = open.text.length; start < text.length; start += pieceLength) {
    if (!open.reader.feed(text.slice(start, start + pieceLength))) break;
  }
  open.text = text;
  open.sheet = { readings: open.readings, rejected: open.rejected, ...open.reader.end() };
  sheetsRead.set(file.name, open);
  return open.sheet;
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
