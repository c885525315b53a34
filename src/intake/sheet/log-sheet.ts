import { parse as parseCsv } from "csv-parse/browser/esm/sync";
import type { Reject } from "../../domain/reading.ts";
import type { InputFault } from "../../domain/result.ts";
import { nearest } from "../nearest.ts";
import { quoted } from "../quoted.ts";
import { cellText, oneLine, ownCopy } from "./cell-text.ts";
import type { DateOrder } from "./date-text.ts";
import { dateQuestion } from "./date-text.ts";
import type { RowFault } from "./row-fault.ts";
import { SheetDates } from "./sheet-dates.ts";
import type { SheetKind } from "./sheet-header.ts";
import { SheetReader } from "./sheet-reader.ts";
import type { ParseCsv } from "./sheet-rows.ts";

/** Which columns a small sheet has. */
export interface LogSpec<Heading extends string> {
  readonly needed: readonly Heading[];
  readonly optional: readonly Heading[];
  /** Which of them a heading means, null where none. */
  readonly meaning: (heading: string) => Heading | null;
  /** Columns that hold dates. */
  readonly dates: readonly Heading[];
  /** What is missing beyond `needed`, as a sentence; null where nothing is. */
  readonly lacks?: (has: (heading: Heading) => boolean) => string | null;
}

/** One row of a small sheet (work, touches, pads, meter). */
export interface LogRow<Heading extends string> {
  readonly cells: Readonly<Record<Heading, string>>;
  readonly line: number;
  /** The row's own text. */
  readonly text: string;
  /** Its cells under the sheet's own headings. */
  readonly fields: Readonly<Record<string, string>>;
  /** What is wrong with it as a row. */
  readonly broken: readonly RowFault[];
}

/** A small sheet's rows, or the one reason why it has none. */
export interface LogSheet<Heading extends string> {
  /** What each of the sheet's columns means, null where nothing; none where it can't be read. */
  readonly columns: readonly (Heading | null)[];
  readonly delimiter: string;
  /** Line of the headings, the file's first being 1; 0 where it can't be read. */
  readonly headerLine: number;
  readonly rows: readonly LogRow<Heading>[];
  readonly dates: SheetDates;
  readonly warnings: readonly InputFault[];
  readonly fault: InputFault | null;
}

/** How to read a small sheet. */
export interface LogOptions {
  /** csv-parse's synchronous call; default: its browser build, which Deno can't run. */
  readonly parse?: ParseCsv;
  /** Which number of `03/04/2026` is the day, where the user says. */
  readonly dates?: DateOrder | null;
}

/** Characters handed to the reader at a time. */
const pieceLength = 1 << 16;

type Places<Heading extends string> = ReadonlyMap<Heading, number>;

function placesOf<Heading extends string>(
  headings: readonly string[],
  { needed, meaning, lacks }: LogSpec<Heading>,
): Places<Heading> | string {
  const places = new Map<Heading, number>();
  for (const [index, text] of headings.entries()) {
    const heading = text.length > 80 ? null : meaning(text);
    // Of two columns for one thing the first counts; a needed one must not stand twice.
    if (heading === null) continue;
    if (!places.has(heading)) places.set(heading, index);
    else if (needed.includes(heading)) return `has two columns for ${heading}`;
  }
  const missing = needed.filter((heading) => !places.has(heading));
  const shown = headings.slice(0, 30).map(quoted).join(", ").slice(0, 300);
  const found = `(found ${shown === "" ? "no headings" : shown})`;
  if (missing.length > 0) {
    const some = headings.slice(0, 200);
    const near = missing.map((heading) => nearest(heading, some)).find((name) => name !== null);
    const meant = near == null ? "" : `; did you mean ${quoted(near)}?`;
    return `has no column ${missing.join(", no column ")} ${found}${meant}`;
  }
  const lacking = lacks?.((heading) => places.has(heading)) ?? null;
  return lacking === null ? places : `${lacking} ${found}`;
}

/** How headings of such a sheet are read. */
export const logKind = <Heading extends string>(
  spec: LogSpec<Heading>,
): SheetKind<ReadonlyMap<Heading, number>> => ({
  known: (names) => names.filter((name) => spec.meaning(name) !== null).length,
  columns: (names) => placesOf(names, spec),
});

/** Reads a small sheet whole. Every row with something in it is in `rows`; nothing throws. */
export function readLogSheet<Heading extends string>(
  text: string,
  file: string,
  spec: LogSpec<Heading>,
  options: LogOptions = {},
): LogSheet<Heading> {
  const { parse = parseCsv as ParseCsv, dates: given = null } = options;
  const headings = [...spec.needed, ...spec.optional];
  const dates = new SheetDates(given);
  const rows: LogRow<Heading>[] = [];
  let places: Places<Heading> = new Map();
  let columns: (Heading | null)[] = [];
  let delimiter = ",";
  let headerLine = 0;
  const reader = new SheetReader<Places<Heading>>(
    logKind(spec),
    { file, parse },
    {
      opened: (sheet) => {
        places = sheet.columns;
        columns = sheet.names.map(() => null);
        for (const [heading, at] of places) columns[at] = heading;
        delimiter = sheet.delimiter;
        headerLine = sheet.line;
      },
      row: ({ record, line, text: own, faults, extra }) => {
        const cell = (heading: Heading): string => {
          const at = places.get(heading);
          const plain = at === undefined ? "" : cellText(record[at] ?? "");
          return (heading as string) === "note" ? plain : oneLine(plain);
        };
        const cells = Object.fromEntries(headings.map((one) => [one, cell(one)]));
        for (const heading of spec.dates) dates.learn(cells[heading]!);
        rows.push({
          cells: cells as Record<Heading, string>,
          line,
          text: ownCopy(own()),
          fields: reader.fields(record, extra),
          broken: faults,
        });
      },
    },
  );
  for (let at = 0; at < text.length; at += pieceLength)
    if (!reader.feed(text.slice(at, at + pieceLength))) break;
  const { warnings, faults } = reader.end();
  const question = dates.open === null ? null : dateQuestion(dates.open);
  const asked = question === null ? null : { file, place: "", message: question };
  const fault = faults[0] ?? asked;
  return { columns, delimiter, headerLine, rows, dates, warnings, fault };
}

/** A row that can't be used, with all that is wrong with it. */
export const rejectOf = (
  file: string,
  { line, text, fields }: Pick<LogRow<never>, "line" | "text" | "fields">,
  faults: readonly RowFault[],
): Reject => ({
  file,
  line,
  kind: faults[0]?.kind ?? "",
  reason: faults.map(({ words }) => words).join("; "),
  text,
  fields,
});
