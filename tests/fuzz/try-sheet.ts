import { parse } from "csv-parse/sync";
import type { Reject } from "../../src/domain/reading.ts";
import type { RowCounts } from "../../src/domain/row-counts.ts";
import { DecodedText } from "../../src/intake/decode-text.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readMeterSheet } from "../../src/intake/read-meter-sheet.ts";
import { readPads } from "../../src/intake/read-pads.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readTouches } from "../../src/intake/read-touches.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { rejectedCsv } from "../../src/intake/rejected-csv.ts";
import type { ParseCsv } from "../../src/intake/sheet/sheet-rows.ts";
import { type SheetName, sheetBytes, sheetText } from "./make-sheet.ts";
import { type Random, randomFrom } from "./random.ts";

const read = readPool("pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1]", "p");
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;
const csv = parse as ParseCsv;

interface Outcome {
  readonly rows: RowCounts;
  readonly used: number;
  readonly rejected: readonly Reject[];
}

/** What a reader made of a text; null where it said in one sentence why it can't be a sheet. */
function outcomeOf(sheet: SheetName, text: string): Outcome | null {
  switch (sheet) {
    case "readings":
    case "wide": {
      const { readings, rejected, rows, faults } = readReadings(text, pool, "a.csv", csv);
      return faults.length > 0 ? null : { rows, used: readings.length, rejected };
    }
    case "work": {
      const { entries, rejected, rows, faults } = readWorkLog(text, pool, "a.csv");
      if (entries.length > rows.used) throw new Error("more entries than used rows");
      return faults.length > 0 ? null : { rows, used: rows.used, rejected };
    }
    case "touches": {
      const { ok, value } = readTouches(text, pool, "a.csv") as never as Read<"touches">;
      return ok ? { ...value, used: value.touches.length + value.struck } : null;
    }
    case "pads": {
      const { ok, value } = readPads(text, pool, "a.csv") as never as Read<"notes">;
      return ok ? { ...value, used: value.notes.length + value.struck } : null;
    }
    case "meter": {
      const result = readMeterSheet(text, "a.csv");
      if (!result.ok) return null;
      const { rows, rejected, counts } = result.value;
      return { rows: counts, used: rows.length, rejected };
    }
  }
}

type Read<List extends string> = {
  readonly ok: boolean;
  readonly value: { rows: RowCounts; struck: number; rejected: readonly Reject[] } & Record<
    List,
    unknown[]
  >;
};

/** What is wrong with what came of a sheet, null where nothing is. */
function faultOf({ rows, used, rejected }: Outcome): string | null {
  if (rows.in !== rows.used + rows.rejected + rows.repeats)
    return `rows in ${JSON.stringify(rows)}`;
  if (rows.used !== used || rows.rejected !== rejected.length)
    return "rows are not what was listed";
  const nameless = rejected.find(({ reason, kind }) => reason === "" || kind === "");
  if (nameless !== undefined) return `a reject without a reason at line ${nameless.line}`;
  if (rejected.length === 0) return null;
  const kept = parse(rejectedCsv(rejected)) as string[][];
  if (kept.length !== rejected.length + 1) return "rejected.csv has another number of rows";
  return null;
}

/**
 * Makes a sheet from a seed and reads it as the command would. Gives back what is wrong (a thrown
 * error, a row that came out nowhere or twice, a second of processor time), null where nothing is.
 */
export function trySheet(sheet: SheetName, seed: number): string | null {
  const random: Random = randomFrom(seed);
  const bytes = sheetBytes(random, sheetText(random, sheet));
  const start = process.cpuUsage();
  try {
    const decoded = new DecodedText();
    const text = decoded.feed(bytes) + decoded.end();
    const outcome = outcomeOf(sheet, text);
    const fault = outcome === null ? null : faultOf(outcome);
    if (fault !== null) return fault;
  } catch (error) {
    return error instanceof Error ? (error.stack ?? error.message) : String(error);
  }
  const { user, system } = process.cpuUsage(start);
  const seconds = (user + system) / 1e6;
  return seconds > 1 ? `took ${seconds.toFixed(1)} s for ${bytes.length} bytes` : null;
}
