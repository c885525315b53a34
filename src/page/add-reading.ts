import { parse } from "csv-parse/browser/esm/sync";
import { circuitCells } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { csvLine } from "../intake/csv-cell.ts";
import { encodingOf } from "../intake/decode-text.ts";
import { readReadings } from "../intake/read-readings.ts";
import { sheetHeader } from "../intake/sheet/sheet-header.ts";
import type { ParseCsv } from "../intake/sheet/sheet-rows.ts";
import { readingsKind, type SheetColumns } from "../intake/sheet-columns.ts";
import { fileText, type KeptFile, newFile, withRow } from "./record.ts";

/** One reading as it was entered: the text of every column, empty where nothing was said. */
export interface EnteredReading {
  readonly walk: string;
  readonly lane: string;
  readonly device: string;
  readonly end: string;
  readonly point: string;
  /** As typed: the digits written say how finely the meter shows. */
  readonly volts: string;
  readonly taken_at: string;
  readonly meter: string;
  readonly meter_on: string;
  readonly state: string;
  readonly note: string;
}

/** The columns of a sheet that the page starts itself. */
const ownColumns = [
  "walk",
  "lane",
  "device",
  "end",
  "point",
  "volts",
  "taken_at",
  "meter",
  "meter_on",
  "state",
  "note",
] as const satisfies readonly (keyof EnteredReading)[];

/** How to write a row for a sheet; null where the sheet is of another make and stays as it is. */
function sheetLayout(
  file: KeptFile,
  pool: Pool,
): { columns: SheetColumns; delimiter: string } | null {
  if (encodingOf(file.bytes) !== "utf-8") return null;
  const header = sheetHeader(fileText(file), true, parse as ParseCsv, readingsKind(pool));
  if (header === null || !("columns" in header)) return null;
  const { columns, delimiter } = header;
  if (columns.layout !== "long" || columns.volts[0]?.exponent !== 0) return null;
  return { columns, delimiter };
}

/** The device that an empty cell means: the first of the row's lane. */
const firstDevice = ({ lane }: EnteredReading, pool: Pool): string =>
  pool.circuits.find((one) => circuitCells(one).lane === lane)?.device ?? "";

/** What a missing column means: a row that says the same needs no such column. */
const meantByAbsence = (entered: EnteredReading, pool: Pool): Partial<EnteredReading> => ({
  device: firstDevice(entered, pool),
  end: "",
  meter: pool.meters[0]?.name ?? "",
  state: "rest",
  meter_on: "",
  note: "",
  walk: entered.taken_at.slice(0, 10),
});

function rowFor(file: KeptFile, entered: EnteredReading, pool: Pool): string | null {
  const layout = sheetLayout(file, pool);
  if (layout === null) return null;
  const { columns, delimiter } = layout;
  const absent = meantByAbsence(entered, pool);
  const cells = columns.names.map(() => "");
  for (const name of ownColumns) {
    const index = columns.at[name];
    if (index !== undefined) cells[index] = entered[name];
    else if (entered[name] !== "" && entered[name] !== absent[name]) return null;
  }
  return csvLine(cells, delimiter).trimEnd();
}

/** A name that no sheet has yet. */
function freeName(taken: readonly string[]): string {
  for (let count = 1; ; count += 1) {
    const name = count === 1 ? "readings.csv" : `readings-${count}.csv`;
    if (!taken.includes(name)) return name;
  }
}

/**
 * The sheets with one reading more, and the sheet that it went to.
 *
 * It goes to the last sheet that has a column for all that it says; where none has, a sheet of the
 * page's own is started. A sheet that came in is never rewritten, only added to.
 */
export function addReading(
  sheets: readonly KeptFile[],
  entered: EnteredReading,
  pool: Pool,
): { readonly sheets: readonly KeptFile[]; readonly to: number } {
  for (let to = sheets.length - 1; to >= 0; to -= 1) {
    const sheet = sheets[to] as KeptFile;
    const row = rowFor(sheet, entered, pool);
    if (row !== null) return { sheets: sheets.with(to, withRow(sheet, row)), to };
  }
  const own = newFile(freeName(sheets.map((one) => one.name)), csvLine(ownColumns));
  const row = csvLine(ownColumns.map((name) => entered[name])).trimEnd();
  return { sheets: [...sheets, withRow(own, row)], to: sheets.length };
}

/**
 * Why this reading can't be used, in the words that an import would use; null where it can.
 * The very reader of imports judges it, so what the page stores the command reads.
 */
export function faultOf(entered: EnteredReading, pool: Pool): string | null {
  const text = csvLine(ownColumns) + csvLine(ownColumns.map((name) => entered[name]));
  const { rejected, faults } = readReadings(text, pool, "reading");
  return rejected[0]?.reason ?? faults[0]?.message ?? null;
}

/** A value as typed, its decimal comma made a point; the rest is left to the reader. */
export const writtenVolts = (typed: string): string =>
  typed
    .trim()
    .replace(/^(\d*),(\d+)$/, "$1.$2")
    .replace(/^[.](\d)/, "0.$1");
