import { open } from "node:fs/promises";
import { parse as parseCsv } from "csv-parse/sync";
import type { Pool } from "../domain/pool.ts";
import type { Reading, Reject } from "../domain/reading.ts";
import type { InputFault } from "../domain/result.ts";
import { addRows, noRows, type RowCounts } from "../domain/row-counts.ts";
import type { WorkEntry } from "../domain/work.ts";
import { DecodedText } from "../intake/decode-text.ts";
import { Fingerprints } from "../intake/fingerprints.ts";
import { KeptReadings } from "../intake/kept-readings.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { ReadingsReader, type ReadingsSink, saysStruck } from "../intake/read-readings.ts";
import { readWorkLog } from "../intake/read-work-log.ts";
import type { DateOrder } from "../intake/sheet/date-text.ts";
import type { ParseCsv } from "../intake/sheet/sheet-rows.ts";
import { STRUCK, Strikes } from "../intake/strikes.ts";
import { textOf } from "../report/wrap-text.ts";
import { UnusableInput } from "./command.ts";
import { loadText, type Source, sourceOf, textPieces } from "./sources.ts";
import { unusable } from "./store/cannot-write.ts";

/** Told while files are read: the share of all bytes, 0 to 1, and the rows so far. */
export type Progress = (share: number, rows: number) => void;

/** Where something stands, for the front of a sentence about it: `deck.csv, line 14:`. */
const placeText = ({ file, place }: InputFault): string =>
  place === "" ? file : `${file}, ${place}:`;

/** What is worth a look in files that were read: one line each. */
export const warningLines = (warnings: readonly InputFault[]): string =>
  warnings.map((one) => textOf([`dropwise: ${placeText(one)} ${one.message}`])).join("");

/** `pool.yaml, misread: found 2; allowed: …`, and how many faults there are beside it. */
export function faultSentence(faults: readonly InputFault[]): string {
  const [first, ...others] = faults;
  if (first === undefined) return "";
  const places = others.map((other) => other.place || "the file").slice(0, 5);
  const more = others.length > 5 ? ", …" : "";
  const rest = others.length === 0 ? "" : ` (and also wrong: ${places.join(", ")}${more})`;
  return `${placeText(first)} ${first.message}${rest}`;
}

/** The pool file at a path; throws `UnusableInput` with one sentence where it can't be used. */
export async function loadPool(path: string, say?: (line: string) => void): Promise<Pool> {
  const pool = readPool(await loadText(path, say), path);
  if (!pool.ok) throw new UnusableInput(faultSentence(pool.error));
  return pool.value;
}

const struckOnInput =
  "a row strikes a reading out, which may stand before it: name the files, a pipe is read once";

/** What any of the files strikes out: only a file that has the word is read a second time. */
async function struckIn(
  sources: readonly Source[],
  pool: Pool,
  dates: DateOrder | null,
): Promise<Strikes> {
  const strikes = new Strikes();
  const ignore = (): void => {};
  for (const source of sources.filter(({ again }) => again)) {
    const file = source.path;
    const pieces = (): AsyncGenerator<{ text: string }> =>
      textPieces(source, new DecodedText(), ignore);
    let before = "";
    let found = false;
    for await (const { text } of pieces()) {
      found = saysStruck(before + text);
      if (found) break;
      before = text.slice(-STRUCK.length);
    }
    if (!found) continue;
    const sink = { reading: ignore, reject: ignore, strike: (one: Reading) => strikes.add(one) };
    const reader = new ReadingsReader(pool, sink, { file, parse: parseCsv as ParseCsv, dates });
    for await (const { text } of pieces()) if (!reader.feed(text)) break;
    reader.end();
  }
  return strikes;
}

/**
 * Streams sheets of readings from disk into a sink, in memory that does not grow with the files
 * but for 24 bytes a row that tell duplicates. Gives back the warnings; throws `UnusableInput`
 * with one sentence where a file can't be used at all.
 */
export async function streamReadings(
  paths: readonly string[],
  pool: Pool,
  sink: ReadingsSink,
  progress?: Progress,
  dates: DateOrder | null = null,
): Promise<{ readonly warnings: readonly InputFault[]; readonly rows: RowCounts }> {
  let counts = noRows;
  const sources = await Promise.all(paths.map(sourceOf));
  const total = sources.reduce((sum, { bytes }) => sum + bytes, 0);
  const files = sources.map(({ identity }) => identity);
  const twice = paths.find((_, i) => files.indexOf(files[i]!) !== i);
  if (twice !== undefined) throw new UnusableInput(`${twice} is given twice`);

  const strikes = await struckIn(sources, pool, dates);
  const seen = new Fingerprints();
  const warnings: InputFault[] = [];
  let rows = 0;
  let done = 0;
  const counting: ReadingsSink = {
    reading: (reading) => {
      rows += 1;
      sink.reading(reading);
    },
    reject: (reject) => {
      rows += 1;
      sink.reject(reject);
    },
    strike: () => {
      if (sources.some(({ again }) => !again)) throw new UnusableInput(struckOnInput);
    },
  };
  for (const source of sources) {
    const file = source.path;
    const parse = parseCsv as ParseCsv;
    const reader = new ReadingsReader(pool, counting, { file, parse, seen, dates, strikes });
    const decoded = new DecodedText();
    const say = (message: string): void => void warnings.push({ file, place: "", message });
    for await (const { text, bytes } of textPieces(source, decoded, say)) {
      if (!reader.feed(text)) break;
      done += bytes;
      progress?.(total > 0 ? Math.min(1, done / total) : 0, rows);
    }
    const end = reader.end();
    if (end.faults.length > 0) throw new UnusableInput(faultSentence(end.faults));
    if (decoded.said !== null) warnings.push({ file, ...decoded.said });
    warnings.push(...end.warnings);
    counts = addRows(counts, end.rows);
  }
  return { warnings, rows: counts };
}

/** What some sheets gave beside their readings. */
interface SheetsSaid {
  readonly rejected: readonly Reject[];
  readonly warnings: readonly InputFault[];
  readonly rows: RowCounts;
}

/** The readings of some sheets, kept small: a million take some 70 MB. The rejects stay whole. */
export async function keepReadings(
  paths: readonly string[],
  pool: Pool,
  progress?: Progress,
  dates: DateOrder | null = null,
): Promise<SheetsSaid & { readonly kept: KeptReadings }> {
  const kept = new KeptReadings();
  const rejected: Reject[] = [];
  const sink: ReadingsSink = {
    reading: (reading) => kept.add(reading),
    reject: (reject) => void rejected.push(reject),
  };
  return { kept, rejected, ...(await streamReadings(paths, pool, sink, progress, dates)) };
}

/** All readings and rejects of some sheets, in the order of files and lines. */
export async function loadReadings(
  paths: readonly string[],
  pool: Pool,
  progress?: Progress,
  dates: DateOrder | null = null,
): Promise<SheetsSaid & { readonly readings: readonly Reading[] }> {
  const readings: Reading[] = [];
  const rejected: Reject[] = [];
  const sink: ReadingsSink = {
    reading: (reading) => void readings.push(reading),
    reject: (reject) => void rejected.push(reject),
  };
  return { readings, rejected, ...(await streamReadings(paths, pool, sink, progress, dates)) };
}

/** The work log at a path. */
export async function loadWorkLog(
  path: string,
  pool: Pool,
  dates: DateOrder | null = null,
  say?: (line: string) => void,
): Promise<{ readonly entries: readonly WorkEntry[]; readonly rejected: readonly Reject[] }> {
  const text = await loadText(path, say);
  const { entries, rejected, faults } = readWorkLog(text, pool, path, { dates });
  if (faults.length > 0) throw new UnusableInput(faultSentence(faults));
  return { entries, rejected };
}

/** Is there something at this path already? */
export async function exists(path: string): Promise<boolean> {
  try {
    await (await open(path)).close();
    return true;
  } catch (error) {
    if ((error as { code?: string }).code === "ENOENT") return false;
    throw unusable(path, error);
  }
}
