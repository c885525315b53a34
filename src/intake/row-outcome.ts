import type { Reading, Reject } from "../domain/reading.ts";
import type { RowFacts, RowReader } from "./reading-row.ts";
import { ownCopy } from "./sheet/cell-text.ts";
import { fieldsUnder } from "./sheet/heading-names.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import type { SheetColumns, VoltsColumn } from "./sheet-columns.ts";

/** What is needed of a row to say what came of it. */
export interface SourceRow {
  readonly record: readonly string[];
  readonly line: number;
  /** The row's own text. */
  readonly text: () => string;
}

/** A sheet whose header is read. */
export interface Sheet {
  readonly file: string;
  readonly columns: SheetColumns;
  readonly reader: RowReader;
  readonly delimiter: string;
}

/** What came of a row, in the order of its cells: one in a long sheet, one a point in a wide. */
export type RowOutcome = readonly (Reading | Reject)[];

export const isReject = (one: Reading | Reject): one is Reject => "reason" in one;

/** The row's cells under the sheet's own headings; of a wide row, one cell as a long row. */
function fieldsOf(
  sheet: Sheet,
  record: readonly string[],
  extra: string,
  column: VoltsColumn | null,
  facts: RowFacts,
): Record<string, string> {
  const { names, at, volts, layout } = sheet.columns;
  const { reader } = sheet;
  const left = new Set([at.reason, at.extra]);
  if (layout === "wide") for (const { index } of volts) left.add(index);
  const cells = record.map((_, i) => reader.at(record, i));
  // A row that is taken out from under its merged cell carries it along.
  for (const name of ["lane", "device", "end"] as const) {
    const index = at[name];
    if (index !== undefined && (cells[index] ?? "") === "") cells[index] = facts.where[name];
  }
  const isBlank = (i: number | undefined): boolean => i === undefined || (cells[i] ?? "") === "";
  const day = at.date ?? at.taken_at;
  if (day !== undefined && isBlank(at.date) && isBlank(at.taken_at))
    cells[day] = facts.takenAt?.day ?? "";
  const fields = ownCopy(fieldsUnder(names, cells, layout === "wide" ? "" : extra, left));
  if (layout === "long") return fields;
  const cell = column === null ? "" : reader.at(record, column.index);
  const unit = column?.exponent === -3 && !/[a-z]$/i.test(cell) ? " mV" : "";
  const own = { point: column?.point ?? "", volts: `${cell}${unit}` };
  return { ...fields, ...own, ...(extra === "" ? {} : { extra }) };
}

function reject(
  sheet: Sheet,
  row: SourceRow,
  faults: readonly RowFault[],
  extra: string,
  column: VoltsColumn | null,
  facts: RowFacts,
): Reject {
  // Headings once more are no reading: what their words are not need not be said.
  const again = faults.filter(({ kind }) => kind === "header");
  const told = again.length === 0 ? faults : again;
  return {
    file: sheet.file,
    line: row.line,
    kind: told[0]?.kind ?? "",
    reason: told.map(({ words }) => words).join("; "),
    text: ownCopy(row.text()),
    fields: fieldsOf(sheet, row.record, extra, column, facts),
  };
}

function longOutcome(
  sheet: Sheet,
  row: SourceRow,
  facts: RowFacts,
  rowFaults: readonly RowFault[],
  extra: string,
): Reading | Reject {
  const { reader, columns } = sheet;
  const column = columns.volts[0]!;
  const faults: RowFault[] = [];
  const point = reader.point(row.record, faults);
  const value = reader.volts(reader.at(row.record, column.index), column.exponent, faults);
  const off = point === null ? null : reader.pointFault(facts, point);
  if (off !== null) faults.push(off);
  if (rowFaults.length === 0 && faults.length === 0 && point !== null && value !== null) {
    return reader.reading(facts, point, value, row.line);
  }
  return reject(sheet, row, [...rowFaults, ...faults], extra, null, facts);
}

function wideOutcome(
  sheet: Sheet,
  row: SourceRow,
  facts: RowFacts,
  rowFaults: readonly RowFault[],
  extra: string,
): RowOutcome {
  const outcome: (Reading | Reject)[] = [];
  let { meterOn } = facts;
  for (const column of sheet.columns.volts) {
    const cell = sheet.reader.at(row.record, column.index);
    if (cell === "") continue;
    const faults: RowFault[] = [];
    const value = sheet.reader.volts(cell, column.exponent, faults);
    const off = sheet.reader.pointFault(facts, column.point!);
    if (off !== null) faults.push(off);
    outcome.push(
      rowFaults.length === 0 && faults.length === 0 && value !== null
        ? sheet.reader.reading({ ...facts, meterOn }, column.point!, value, row.line)
        : reject(sheet, row, [...rowFaults, ...faults], extra, column, facts),
    );
    // Whoever switched the meter on did so before the row's first reading.
    meterOn = false;
  }
  if (outcome.length === 0 && rowFaults.length > 0) {
    outcome.push(reject(sheet, row, rowFaults, extra, null, facts));
  }
  return outcome;
}

/**
 * Readings and rejects of one row.
 *
 * `rowFaults` spoil the whole row; `extra` is what it held beyond its columns. Every cell of volts
 * with something in it comes out exactly once, and a spoilt row always gives a reject.
 */
export const rowOutcome = (
  sheet: Sheet,
  row: SourceRow,
  facts: RowFacts,
  rowFaults: readonly RowFault[],
  extra: string,
): RowOutcome =>
  sheet.columns.layout === "long"
    ? [longOutcome(sheet, row, facts, rowFaults, extra)]
    : wideOutcome(sheet, row, facts, rowFaults, extra);
