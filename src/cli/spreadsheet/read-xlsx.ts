import readTables from "read-excel-file/universal";
import { type Cell, momentCell } from "./moment-cell.ts";
import type { Table } from "./spreadsheet-text.ts";

/** A cell's value as text; a number in the fewest digits that are it (4.91, not 4.9100000000000001). */
function textOf(cell: Cell): string {
  if (cell === null) return "";
  if (cell instanceof Date) return momentCell(cell);
  return typeof cell === "boolean" ? (cell ? "yes" : "no") : String(cell);
}

/** The tables of an .xlsx file (ECMA-376). */
export async function xlsxTables(bytes: Uint8Array): Promise<readonly Table[]> {
  const tables = await readTables(new Blob([new Uint8Array(bytes)]));
  return tables.map(({ sheet, data }) => ({
    name: sheet,
    rows: data.map((row) => row.map((cell) => textOf(cell as Cell))),
  }));
}
