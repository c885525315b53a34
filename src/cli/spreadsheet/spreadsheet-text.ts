import { unzipSync } from "fflate";
import { csvLine } from "../../intake/csv-cell.ts";
import { UnusableInput } from "../command.ts";
import { isOldSpreadsheet } from "./is-spreadsheet.ts";

/** A table of a spreadsheet file: its name, and its cells as a person reads them. */
export interface Table {
  readonly name: string;
  readonly rows: readonly (readonly string[])[];
}

/** What its parts may take unpacked: a season is far under it, a zip bomb far over [bytes]. */
const mostUnpacked = 200_000_000;

/** The parts of the archive, by name, without unpacking any. */
function partsOf(file: string, bytes: Uint8Array): string[] {
  const names: string[] = [];
  let unpacked = 0;
  try {
    unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        names.push(name);
        unpacked += originalSize;
        return false;
      },
    });
  } catch {
    throw new UnusableInput(`${file} is no whole spreadsheet file: save it again, or as CSV`);
  }
  if (unpacked > mostUnpacked)
    throw new UnusableInput(`${file} unpacks to ${Math.round(unpacked / 1e6)} MB, far too much`);
  return names;
}

async function tablesOf(file: string, bytes: Uint8Array): Promise<readonly Table[]> {
  if (isOldSpreadsheet(bytes))
    throw new UnusableInput(`${file} is an old .xls file: save it as .xlsx, .ods or CSV`);
  const parts = partsOf(file, bytes);
  try {
    // Loaded here and not above: most sheets are text, and do without.
    if (parts.includes("xl/workbook.xml"))
      return await (await import("./read-xlsx.ts")).xlsxTables(bytes);
    if (parts.includes("content.xml")) return (await import("./read-ods.ts")).odsTables(bytes);
  } catch {
    throw new UnusableInput(`${file} could not be read as a spreadsheet: save it as CSV`);
  }
  throw new UnusableInput(`${file} is neither text nor an .xlsx or .ods file`);
}

/** A cell on one line, so that a row's line is its number in the spreadsheet. */
const oneLine = (cell: string): string => cell.replaceAll(/\s*[\r\n]+\s*/g, " ");

/**
 * The first table of a spreadsheet file with something in it, as CSV: from there on it is read like
 * any other sheet. `said` names the tables that were passed over.
 */
export async function spreadsheetText(
  file: string,
  bytes: Uint8Array,
): Promise<{ readonly text: string; readonly said: string | null }> {
  const tables = await tablesOf(file, bytes);
  const filled = tables.filter(({ rows }) => rows.some((row) => row.some((cell) => cell !== "")));
  const [first, ...others] = filled;
  if (first === undefined) throw new UnusableInput(`${file} is empty`);
  const text = first.rows.map((row) => csvLine(row.map(oneLine))).join("");
  const names = others.map(({ name }) => `'${name}'`).join(", ");
  const said = others.length === 0 ? null : `only the table '${first.name}' is read, not ${names}`;
  return { text, said };
}
