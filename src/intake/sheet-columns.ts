import type { Pool } from "../domain/pool.ts";
import { nearest } from "./nearest.ts";
import { plainName } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { uniqueNames } from "./sheet/heading-names.ts";
import type { SheetKind } from "./sheet/sheet-header.ts";

/** What a column of a readings sheet can mean. */
export type Meaning =
  | "lane"
  | "device"
  | "end"
  | "point"
  | "volts"
  | "taken_at"
  | "date"
  | "time"
  | "walk"
  | "meter"
  | "meter_on"
  | "state"
  | "by"
  | "id"
  | "note"
  | "extra"
  | "reason";

/** Headings that people use, beside the column's own name. */
const synonyms: Readonly<Record<Meaning, readonly string[]>> = {
  lane: ["lane-no", "lane-number", "lane-nr", "lane-#", "lane-id"],
  device: ["device-name"],
  end: ["lane-end"],
  point: ["test-point", "measuring-point", "measurement-point", "point-name"],
  volts: ["volt", "v", "voltage", "reading", "value", "measured"],
  taken_at: ["taken", "timestamp", "datetime", "date-time", "when", "measured-at", "read-at"],
  date: ["day"],
  time: ["time-of-day", "clock"],
  walk: ["walk-id", "round", "visit"],
  meter: ["meter-name", "voltmeter", "multimeter"],
  meter_on: ["switched-on", "meter-switched-on", "just-switched-on"],
  state: ["switch-state"],
  by: ["who", "read-by", "taken-by", "initials"],
  id: ["reading-id"],
  note: ["notes", "comment", "comments", "remark", "remarks"],
  extra: [],
  reason: [],
};

const meanings = new Map<string, Meaning>(
  Object.entries(synonyms).flatMap(([meaning, words]) =>
    [plainName(meaning), ...words].map((word) => [word, meaning as Meaning] as const),
  ),
);

/** One column that holds volts: where it stands and in what unit. */
export interface VoltsColumn {
  readonly index: number;
  /** Power of ten of the heading's unit: 0 for volts, -3 for millivolts. */
  readonly exponent: 0 | -3;
  /** The point whose readings it holds, null in a long sheet. */
  readonly point: string | null;
}

/** Where everything stands in one sheet. */
export interface SheetColumns {
  /** The sheet's own headings, blanks around them removed. */
  readonly names: readonly string[];
  /** Index of each meaning's column, absent where the sheet has none. */
  readonly at: Readonly<Partial<Record<Meaning, number>>>;
  /** One for a long sheet, one a point for a wide one. */
  readonly volts: readonly VoltsColumn[];
  readonly layout: "long" | "wide";
  /** Indices of columns that mean nothing to this program. */
  readonly unknown: readonly number[];
}

/** A heading without its unit: `Pod (mV)` and `pod_mv` are `pod` in millivolts. */
function heading(written: string): { name: string; exponent: 0 | -3 } {
  if (written.length > 80) return { name: "", exponent: 0 };
  // `Lane no.`, `Pod:`
  const text = written.trim().replace(/(?<=\p{L})[.:*]+$/u, "");
  const match = /^(.*?)[\s_-]*[([]?(?<![a-z\d])(mv|millivolts?|v|volts?)\b[)\]]?$/i.exec(
    text.trim(),
  );
  if (match === null || match[1] === "") {
    const millivolts = /^(mv|millivolts?)$/i.test(text.trim());
    return { name: millivolts ? "volts" : plainName(text), exponent: millivolts ? -3 : 0 };
  }
  const exponent = /^m/i.test(match[2] ?? "") ? -3 : 0;
  return { name: plainName((match[1] ?? "").replace(/[([]\s*$/, "")), exponent };
}

/** What one heading means for this pool. */
function readHeading(text: string, points: ReadonlyMap<string, string>) {
  const { name, exponent } = heading(text);
  return {
    meaning: meanings.get(plainName(text)) ?? meanings.get(name) ?? null,
    point: points.get(plainName(text)) ?? points.get(name) ?? null,
    exponent,
  };
}

const pointsOf = (pool: Pool): Map<string, string> =>
  new Map(pool.points.map((point) => [plainName(point), point] as const));

/** What a heading means in any readings sheet, and its unit; null where it means nothing. */
export function headingMeaning(text: string): { meaning: Meaning | null; exponent: 0 | -3 } {
  const { meaning, exponent } = readHeading(text, new Map());
  return { meaning, exponent };
}

/** What may be said in two columns without a doubt about the reading. */
const optional: ReadonlySet<Meaning> = new Set(["note", "by", "reason", "extra"]);

/** How many of these headings the reader knows: the right delimiter gives the most. */
function knownHeadings(names: readonly string[], pool: Pool): number {
  const points = pointsOf(pool);
  const read = names.map((text) => readHeading(text, points));
  return read.filter(({ meaning, point }) => meaning !== null || point !== null).length;
}

function missingColumns(missing: readonly Meaning[], names: readonly string[], pool: Pool): string {
  const some = names.slice(0, 200);
  const shown = some.map(quoted).join(", ").slice(0, 300);
  const near = missing.flatMap((name) => {
    const meant = nearest(name, some);
    return meant === null ? [] : [`; did you mean '${meant}' to be ${name}?`];
  });
  const lanes = some.filter((text) => /^(lane|l)[\s_.-]*\d+$/i.test(text.trim()));
  if (missing.includes("lane") && lanes.length > 1)
    return (
      `each lane has a column of its own (${lanes.slice(0, 3).map(quoted).join(", ")}): write a row ` +
      "for each lane, and a column lane"
    );
  const points = pool.points.join(", ");
  const wide =
    missing.includes("point") && missing.includes("volts")
      ? ` (or, in a wide sheet, one column for each point: ${points})`
      : "";
  return (
    `the header has no column ${missing.join(", no column ")}${wide}; ` +
    `found ${shown === "" ? "no headings" : shown}${near.join("")}`
  );
}

/**
 * What the columns of a sheet mean, from its header row; a sentence where it can't be used.
 *
 * Long: columns lane, point and volts. Wide: column lane and at least one named after a point of
 * the pool's path. Headings count in any case, with blanks, hyphens or underscores, with a unit
 * behind them (`Pod (mV)`), or by a common synonym.
 */
export function sheetColumns(header: readonly string[], pool: Pool): SheetColumns | string {
  const points = pointsOf(pool);
  const names = uniqueNames(header);
  // By its own words: a second `Lane` is a second column for the lane, whatever its name as a key.
  const read = header.map((text) => readHeading(text, points));
  const has = (meaning: Meaning): boolean => read.some((column) => column.meaning === meaning);
  const isLong = has("point") && has("volts");
  const isWide = !isLong && read.some((column) => column.point !== null);
  const missing = (isWide ? ["lane"] : ["lane", "point", "volts"]) as Meaning[];
  const absent = missing.filter((meaning) => !has(meaning));
  if (absent.length > 0) return missingColumns(absent, names, pool);

  const at: Partial<Record<Meaning, number>> = {};
  const volts: VoltsColumn[] = [];
  const unknown: number[] = [];
  for (const [index, { meaning, point, exponent }] of read.entries()) {
    const name = names[index]!;
    if (isWide && point !== null) {
      const twice = volts.find((column) => column.point === point);
      if (twice)
        return `the header has two columns for the point ${point}: found '${name}' again${blocks}`;
      volts.push({ index, exponent, point });
    } else if (meaning === null || (isWide && (meaning === "volts" || meaning === "point"))) {
      unknown.push(index);
    } else if (at[meaning] !== undefined && optional.has(meaning)) {
      // Comments and remarks: the first is the note, the other is passed over and said.
      unknown.push(index);
    } else if (at[meaning] !== undefined) {
      return `the header has two columns for ${meaning}: '${names[at[meaning]]}' and '${name}'${blocks}`;
    } else {
      at[meaning] = index;
      if (meaning === "volts") volts.push({ index, exponent, point: null });
    }
  }
  return { names, at, volts, layout: isWide ? "wide" : "long", unknown };
}

/** What is said of a heading that stands twice. */
const blocks = "; where two tables stand side by side, put one under the other";

/** Sheets of readings of this pool. */
export const readingsKind = (pool: Pool): SheetKind<SheetColumns> => ({
  known: (names) => knownHeadings(names, pool),
  columns: (names) => sheetColumns(names, pool),
});
