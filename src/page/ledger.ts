import { circuitCells } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { csvLine } from "../intake/csv-cell.ts";
import { readReadings } from "../intake/read-readings.ts";
import { STRUCK } from "../intake/strikes.ts";
import { decimalsOf } from "../intake/volts-text.ts";
import { type KeptFile, newFile, withRow } from "./record.ts";

/**
 * The page's own ledger: a sheet of readings that is only ever added to. A reading is a row with an id
 * of its own; a row with the state `struck` takes one back; a correction is both. So any two copies of
 * it, from two tabs or two phones, are merged by taking all rows of both, in any order, any number of
 * times; and the command reads the very file.
 */

/** The columns of the ledger. */
const ledgerColumns = [
  "id",
  "lane",
  "device",
  "end",
  "point",
  "volts",
  "taken_at",
  "meter",
  "meter_on",
  "state",
  "by",
  "note",
  "walk",
] as const;

/** One row of the ledger: the text of every column, empty where nothing was said. */
export type LedgerRow = Readonly<Record<(typeof ledgerColumns)[number], string>>;

/** A reading as it was entered; volts as typed: the digits written say how finely the meter shows. */
export type EnteredReading = Readonly<Partial<Omit<LedgerRow, "id">>> &
  Pick<LedgerRow, "lane" | "device" | "end" | "point" | "volts">;

const line = (row: LedgerRow): string => csvLine(ledgerColumns.map((name) => row[name]));

/** Sixteen hexadecimal digits at random: no two readings of one pool will share them. */
export function freshId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(8));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

const blank: LedgerRow = {
  ...{ id: "", lane: "", device: "", end: "", point: "", volts: "", taken_at: "", meter: "" },
  ...{ meter_on: "", state: "", by: "", note: "", walk: "" },
};

export const rowOfEntered = (entered: EnteredReading, id: string): LedgerRow => ({
  ...blank,
  ...entered,
  id,
});

/** A reading that stands in any sheet, as a row. */
export function rowOfReading(reading: Reading): LedgerRow {
  const { id, point, takenAt, meter, meterOn, state, by, note, walk } = reading;
  return {
    id: id ?? "",
    ...circuitCells(reading),
    point,
    volts: voltsAsWritten(reading),
    taken_at: takenAt?.text ?? "",
    meter,
    meter_on: meterOn ? "yes" : "",
    state,
    by: by ?? "",
    note: note ?? "",
    // A time tells the walk by itself; what has none belongs where it stood.
    walk: takenAt?.seconds == null ? walk : "",
  };
}

/** With as many decimals as it was written with. */
export const voltsAsWritten = ({ volts, step }: Pick<Reading, "volts" | "step">): string =>
  volts.toFixed(decimalsOf(step));

/** The row that takes this one back. */
export const strikeOf = (row: LedgerRow): LedgerRow => ({ ...row, state: STRUCK });

/** The ledger with more rows. */
export function withRows(
  ledger: KeptFile | null,
  rows: readonly LedgerRow[],
  freeName: () => string,
): KeptFile {
  const start = ledger ?? newFile(freeName(), csvLine(ledgerColumns));
  return rows.reduce((file, row) => withRow(file, line(row).trimEnd()), start);
}

/**
 * Why this reading can't be used, in the words that an import would use; null where it can.
 * The very reader of imports judges it, so what the page stores the command reads.
 */
export function faultOf(entered: EnteredReading, pool: Pool): string | null {
  const text = csvLine(ledgerColumns) + line(rowOfEntered(entered, ""));
  const { rejected, faults } = readReadings(text, pool, "reading");
  return rejected[0]?.reason ?? faults[0]?.message ?? null;
}

/** A value as typed, its decimal comma made a point; the rest is left to the reader. */
const plainVolts = (typed: string): string =>
  typed
    .trim()
    .replace(/^(\d*),(\d*)$/, "$1.$2")
    .replace(/^[.](\d)/, "0.$1")
    .replace(/^(\d+)[.]$/, "$1");

/**
 * What was meant by digits alone: on a meter that shows hundredths `498` is 4.98, for no supply of
 * this kind gives tens of volts. With a mark in it a value stands as it was typed.
 */
export function meantDigits(typed: string, decimals: number): string {
  const plain = plainVolts(typed);
  if (!/^\d+$/.test(plain) || plain.length !== decimals + 1 || decimals === 0) return plain;
  return `${plain.slice(0, 1)}.${plain.slice(1)}`;
}
