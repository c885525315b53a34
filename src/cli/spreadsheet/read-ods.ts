import { unzipSync } from "fflate";
import { SaxesParser, type SaxesTagPlain } from "saxes";
import type { Table } from "./spreadsheet-text.ts";

/** Blank rows and columns stand as one with a count: more of them than this are the sheet's end. */
const mostRepeats = 2000;

/** Rows of one table that are read. */
const mostRows = 1_000_000;

/** `PT08H01M30S`, a time of day as an XML Schema duration, as `08:01:30`; null for anything else. */
function clockOf(duration: string | undefined): string | null {
  const [, hours, minutes, seconds] =
    /^PT(\d+)H(?:(\d+)M)?(?:(\d+)(?:[.,]\d+)?S)?$/.exec(duration ?? "") ?? [];
  if (hours === undefined || Number(hours) > 23) return null;
  return [hours, minutes ?? "0", seconds ?? "0"].map((part) => part.padStart(2, "0")).join(":");
}

/** The value that a cell's attributes give; null where its text is all there is. */
function cellValue({ attributes }: SaxesTagPlain): string | null {
  const type = attributes["office:value-type"];
  if (type === "date") {
    const moment = (attributes["office:date-value"] ?? "").replace(/\.0+(?=Z?$)/, "");
    return moment.replace(/T00:00:00Z?$/, "");
  }
  if (type === "time") return clockOf(attributes["office:time-value"]);
  if (type === "float" || type === "percentage" || type === "currency")
    return String(Number(attributes["office:value"]));
  if (type === "boolean") return attributes["office:boolean-value"] === "true" ? "yes" : "no";
  return null;
}

const repeats = ({ attributes }: SaxesTagPlain, of: "rows" | "columns"): number => {
  const count = Number(attributes[`table:number-${of}-repeated`] ?? 1);
  return Number.isInteger(count) && count > 1 ? count : 1;
};

/** Collects rows of one table; blank ones wait until something comes behind them. */
class OdsRows {
  readonly rows: string[][] = [];
  #row: string[] = [];
  #blankCells = 0;
  #blankRows = 0;

  cell(text: string, count: number): void {
    if (text === "") this.#blankCells += count;
    else {
      for (; this.#blankCells > 0; this.#blankCells--) this.#row.push("");
      for (let i = 0; i < Math.min(count, mostRepeats); i++) this.#row.push(text);
    }
    this.#blankCells = Math.min(this.#blankCells, mostRepeats);
  }

  endRow(count: number): void {
    const row = this.#row;
    this.#row = [];
    this.#blankCells = 0;
    if (row.length === 0) this.#blankRows = Math.min(this.#blankRows + count, mostRows);
    else {
      for (; this.#blankRows > 0; this.#blankRows--) this.#push([]);
      for (let i = 0; i < Math.min(count, mostRepeats); i++) this.#push(row);
    }
  }

  #push(row: string[]): void {
    if (this.rows.length >= mostRows) throw new Error("too many rows");
    this.rows.push(row);
  }
}

/** The tables of an .ods file (OpenDocument 1.3, part 3, section 9). */
export function odsTables(bytes: Uint8Array): readonly Table[] {
  const { "content.xml": content } = unzipSync(bytes, {
    filter: ({ name }) => name === "content.xml",
  });
  const tables: { name: string; rows: OdsRows }[] = [];
  const parser = new SaxesParser();
  let cell: SaxesTagPlain | null = null;
  let row: SaxesTagPlain | null = null;
  let text = "";
  let inNote = 0;
  parser.on("error", (error) => {
    throw error;
  });
  parser.on("opentag", (tag) => {
    if (tag.name === "table:table")
      tables.push({ name: tag.attributes["table:name"] ?? "", rows: new OdsRows() });
    else if (tag.name === "table:table-row") row = tag;
    else if (/^table:(covered-)?table-cell$/.test(tag.name)) {
      cell = tag;
      text = "";
    } else if (tag.name === "office:annotation") inNote += 1;
    else if (tag.name === "text:p" && text !== "" && inNote === 0) text += " ";
    else if (tag.name === "text:s" && inNote === 0) text += " ";
  });
  parser.on("text", (piece) => {
    if (cell !== null && inNote === 0) text += piece;
  });
  parser.on("closetag", (tag) => {
    const rows = tables.at(-1)?.rows;
    if (tag.name === "office:annotation") inNote -= 1;
    else if (
      rows !== undefined &&
      cell !== null &&
      /^table:(covered-)?table-cell$/.test(tag.name)
    ) {
      rows.cell((cellValue(cell) ?? text).trim(), repeats(cell, "columns"));
      cell = null;
    } else if (rows !== undefined && row !== null && tag.name === "table:table-row") {
      rows.endRow(repeats(row, "rows"));
      row = null;
    }
  });
  parser.write(new TextDecoder("utf-8", { fatal: true }).decode(content)).close();
  return tables.map(({ name, rows }) => ({ name, rows: rows.rows }));
}
