import { parse } from "csv-parse/browser/esm/sync";
import { csvLine } from "../intake/csv-cell.ts";
import { encodingOf } from "../intake/decode-text.ts";
import { padHeadings, padsSpec } from "../intake/read-pads.ts";
import { partHeadings, partsSpec } from "../intake/read-parts.ts";
import { touchHeadings, touchSpec } from "../intake/read-touches.ts";
import { STATE } from "../intake/sheet/log-lines.ts";
import { type LogSpec, logKind, readLogSheet } from "../intake/sheet/log-sheet.ts";
import { sheetHeader } from "../intake/sheet/sheet-header.ts";
import type { ParseCsv } from "../intake/sheet/sheet-rows.ts";
import { fileText, type KeptFile, newFile, withRow } from "./record.ts";

/** The small sheets of the deck day, each in the very columns that the commands read. */
export const deckLogs = ["touches", "pads", "parts"] as const;
export type DeckLog = (typeof deckLogs)[number];

/** One row: texts by column; what is left out is empty. */
export type LogLine = Readonly<Record<string, string>>;

interface Form {
  readonly headings: readonly string[];
  readonly spec: LogSpec<string>;
}

const forms: Readonly<Record<DeckLog, Form>> = {
  touches: { headings: touchHeadings, spec: touchSpec as LogSpec<string> },
  pads: { headings: padHeadings, spec: padsSpec as LogSpec<string> },
  parts: { headings: partHeadings, spec: partsSpec as LogSpec<string> },
};

/** A row of this log as a whole sheet of its own, for the reader of imports to judge. */
export const aloneText = (log: DeckLog, line: LogLine): string =>
  csvLine(forms[log].headings) + csvLine(forms[log].headings.map((name) => line[name] ?? ""));

/**
 * The log with one row more, in its own columns; a log whose columns can't hold the row is written anew
 * with all of them.
 */
export function addLine(log: DeckLog, file: KeptFile | null, line: LogLine): KeptFile {
  const { headings, spec } = forms[log];
  const row = (columns: readonly (string | null)[], delimiter = ","): string =>
    csvLine(
      columns.map((name) => (name === null ? "" : (line[name] ?? ""))),
      delimiter,
    ).trimEnd();
  if (file === null) return withRow(newFile(`${log}.csv`, csvLine(headings)), row(headings));
  if (encodingOf(file.bytes) === "utf-8") {
    const header = sheetHeader(fileText(file), true, parse as ParseCsv, logKind(spec));
    if (header !== null && "columns" in header) {
      const columns = header.headings.map(spec.meaning);
      const said = headings.filter((name) => (line[name] ?? "") !== "");
      if (said.every((name) => columns.includes(name)))
        return withRow(file, row(columns, header.delimiter));
    }
  }
  return [...linesOf(log, file), line].reduce<KeptFile>(
    (whole, one) => addLine(log, whole, one),
    newFile(file.name, csvLine(headings)),
  );
}

/** The rows of such a log as texts of its columns. */
function linesOf(log: DeckLog, file: KeptFile): readonly LogLine[] {
  const sheet = readLogSheet(fileText(file), file.name, forms[log].spec);
  return sheet.fault === null ? sheet.rows.map(({ cells }) => cells) : [];
}

/** `26` and `26.0` say the same. */
const plain = (text: string): string => {
  const trimmed = text.trim();
  return trimmed === "" || Number.isNaN(Number(trimmed)) ? trimmed : String(Number(trimmed));
};

/** Do two rows say the same, strikes apart? */
export function sameLine(a: LogLine, b: LogLine): boolean {
  const names = new Set([...Object.keys(a), ...Object.keys(b)]);
  names.delete(STATE);
  return [...names].every((name) => plain(a[name] ?? "") === plain(b[name] ?? ""));
}

/** The same moment a second later, in the zone in which it was written; null for a bare day. */
function aSecondLater(moment: string): string | null {
  const [, local, seconds = ":00", zone = ""] =
    /^(\d{4}-\d\d-\d\dT\d\d:\d\d)(:\d\d)?(?:\.\d+)?(.*)$/.exec(moment) ?? [];
  if (local === undefined) return null;
  const later = Date.parse(`${local}${seconds}Z`) + 1000;
  return `${new Date(later).toISOString().slice(0, 19)}${zone}`;
}

/**
 * A row in another's stead. A strike holds for every row that says the same, for ever, so a row whose
 * like was struck out before is written a second later; null where it has no time of day to move.
 */
export function freshLine(log: DeckLog, file: KeptFile | null, line: LogLine): LogLine | null {
  const struck = file === null ? [] : linesOf(log, file).filter((one) => one[STATE] !== "");
  const column = log === "parts" ? "since" : "taken_at";
  let fresh = line;
  while (struck.some((one) => sameLine(one, fresh))) {
    const later = aSecondLater(fresh[column] ?? "");
    if (later === null) return null;
    fresh = { ...fresh, [column]: later };
  }
  return fresh;
}

const lineKey = (log: DeckLog, line: LogLine): string =>
  JSON.stringify(forms[log].headings.map((name) => line[name] ?? ""));

/** One log of two, each row once: taking the same file again adds nothing. */
export function mergeLog(log: DeckLog, mine: KeptFile | null, other: KeptFile): KeptFile {
  if (mine === null) return { ...other, name: `${log}.csv` };
  const known = new Set(linesOf(log, mine).map((line) => lineKey(log, line)));
  return linesOf(log, other)
    .filter((line) => !known.has(lineKey(log, line)))
    .reduce<KeptFile>((file, line) => addLine(log, file, line), mine);
}

/** Which of them a sheet with these headings is; null: none. */
export function deckLogOf(headings: readonly string[]): DeckLog | null {
  const has = (name: string): boolean => headings.includes(name);
  if (has("tried") && has("registered")) return "touches";
  if (has("part") && has("where")) return "parts";
  return headings.some((one) => /^water[ _(]/.test(one)) ? "pads" : null;
}
