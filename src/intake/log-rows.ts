import { parse } from "csv-parse/browser/esm/sync";
import type { InputFault } from "../domain/result.ts";
import { fault, ok, type Result } from "../domain/result.ts";
import { didYouMean, nearest } from "./nearest.ts";
import { quoted } from "./quoted.ts";
import { longestRow } from "./sheet-rows.ts";

/** One row of a small log: its cells by column, and where it stands. */
export interface LogRow {
  readonly cells: Readonly<Record<string, string>>;
  readonly line: number;
  /** The row's own cells, joined, for a person to find it by. */
  readonly text: string;
  /** The cells under the sheet's own headings. */
  readonly fields: Readonly<Record<string, string>>;
}

/** Longest log that is read [characters]; years of rows are far under it. */
const longest = 20_000_000;

/** Lower case, blanks and hyphens as underscores. */
const plain = (heading: string): string =>
  heading
    .trim()
    .toLowerCase()
    .replaceAll(/[\s-]+/g, "_");

/**
 * A small log (touches, pads) to rows under known column names: comma, semicolon or tab, byte-order
 * mark, headings in any case. Columns that the log does not know are passed over; a needed one that
 * is missing is one sentence that says what was found and what is nearest.
 */
export function logRows(
  text: string,
  file: string,
  needed: readonly string[],
  optional: readonly string[],
): Result<LogRow[], InputFault> {
  const wrong = (place: string, message: string) => fault({ file, place, message });
  if (text.length > longest) return wrong("", `is longer than ${longest} characters`);
  if (text.includes("\0")) return wrong("", "is not text, so it can't be a sheet");
  const sheet = text.replace(/^\uFEFF/, "").replace(/^sep=.\r?\n/i, "");
  const first = sheet.split(/\r\n|\n|\r/, 1)[0] ?? "";
  if (first.length > longestRow)
    return wrong("", `has no header row in its first ${longestRow} characters`);
  const delimiter = [",", ";", "\t"].reduce((best, one) =>
    first.split(one).length > first.split(best).length ? one : best,
  );
  let records: { record: string[]; info: { lines: number } }[];
  try {
    records = parse(sheet, {
      delimiter,
      info: true,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: true,
      trim: true,
    }) as unknown as typeof records;
  } catch {
    return wrong("", "has a quotation mark that opens and never closes");
  }
  const header = records[0]?.record;
  if (header === undefined) return wrong("", "is empty; its first row must name the columns");
  const names = header.map(plain);
  const missing = needed.filter((name) => !names.includes(name));
  if (missing.length > 0) {
    const near = missing.map((name) => nearest(name, names)).find((name) => name !== null);
    const meant = near == null ? "" : `; did you mean '${near}'?`;
    const found = header.map(quoted).join(", ").slice(0, 300);
    return wrong(
      "line 1",
      `has no column ${missing.join(", no column ")} (found ${found})${meant}`,
    );
  }
  const known = [...needed, ...optional];
  const rows = records.slice(1).filter(({ record }) => record.some((cell) => cell !== ""));
  return ok(
    rows.map(({ record, info }) => ({
      cells: Object.fromEntries(
        known.map((name) => [
          name,
          (record[names.indexOf(name)] ?? "").replace(/^'(?=[=+\-@])/, ""),
        ]),
      ),
      line: info.lines,
      text: record.join(delimiter),
      fields: Object.fromEntries(header.map((name, i) => [name, record[i] ?? ""])),
    })),
  );
}

/** One of a few words, case and blanks aside; null where it is none of them. */
export function oneOf<Word extends string>(text: string, words: readonly Word[]): Word | null {
  const wanted = plain(text).replaceAll("_", "-");
  return words.find((word) => word === wanted) ?? null;
}

/** `kind is 'finger': one of fingertip, open-hand; did you mean 'fingertip'?` */
export const notOneOf = (column: string, text: string, words: readonly string[]): string =>
  `${column} is '${text.slice(0, 40)}': one of ${words.join(", ")}${didYouMean(text, words)}`;

/** A decimal number, comma or point; null where it is none. */
export function decimal(text: string): number | null {
  const match = /^[+-]?\d{1,9}(?:[.,]\d{1,9})?$/.exec(text.replaceAll(/[\s\u2009\u202f]/g, ""));
  return match === null ? null : Number(match[0].replace(",", "."));
}
