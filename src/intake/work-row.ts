import type { Pool } from "../domain/pool.ts";
import type { Moment } from "../domain/reading.ts";
import type { WorkAction, WorkEntry } from "../domain/work.ts";
import { placeOfCells } from "./circuit-cells.ts";
import { didYouMean } from "./nearest.ts";
import { type PoolNames, plainName } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import type { LogRow } from "./sheet/log-sheet.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import type { SheetDates } from "./sheet/sheet-dates.ts";

/** Headings of a work log, and what else people call them. */
const synonyms = {
  done_at: ["done-at", "done", "date", "when", "time", "datetime", "timestamp", "day"],
  lane: ["lane", "lane-no", "lane-number"],
  device: ["device"],
  end: ["end", "lane-end"],
  point: ["point", "connector"],
  action: ["action", "work", "what"],
  minutes: ["minutes", "min", "duration"],
  cost: ["cost", "price", "costs"],
  by: ["by", "who", "done-by", "initials"],
  note: ["note", "notes", "comment", "comments", "remark", "remarks"],
} as const satisfies Record<string, readonly string[]>;

/** A column of the work log. */
export type WorkHeading = keyof typeof synonyms;

export const workHeadings = Object.keys(synonyms) as WorkHeading[];

/** A map and no plain object: `constructor` is no action. */
const actions = new Map<string, WorkAction>([
  ["cleaned", "cleaned"],
  ["clean", "cleaned"],
  ["replaced", "replaced"],
  ["replace", "replaced"],
  ["reseated", "reseated"],
  ["reseat", "reseated"],
]);

/** What a heading means, null where it means nothing. */
export const workHeading = (text: string): WorkHeading | null =>
  workHeadings.find((heading) =>
    (synonyms[heading] as readonly string[]).includes(plainName(text)),
  ) ?? null;

/** A number, 0 or more, with a decimal point or comma, perhaps with a currency around it. */
function amount(heading: WorkHeading, text: string, faults: RowFault[]): number | null {
  if (text === "") return null;
  const bare = text
    .normalize("NFKC")
    .slice(0, 60)
    .replaceAll(/\p{Sc}|^[A-Za-z]{1,3}\b|\b[A-Za-z]{1,3}\.?$|\s/gu, "");
  // 1,200 is 1.2 here and 1200 there: nobody can tell.
  const ambiguous = /^[1-9]\d{0,2}[.,]\d{3}$/.test(bare);
  if (!ambiguous && /^\d{1,9}([.,]\d{0,9})?$/.test(bare)) return Number(bare.replace(",", "."));
  const why = ambiguous
    ? `may be ${bare.replace(/[.,]/, "")} or ${bare.replace(",", ".")}`
    : "not a number of 0 or more";
  faults.push({ kind: heading, words: `${heading} is ${quoted(text)}: ${why}` });
  return null;
}

function doneAt(text: string, dates: SheetDates, faults: RowFault[]): Moment | null {
  const moment = dates.moment(text);
  if (moment !== null) return moment;
  const words =
    text === "" ? "done_at is blank" : `done_at is ${quoted(text)}: ${dates.fault(text)}`;
  faults.push({ kind: "done-at", words });
  return null;
}

function actionOf(text: string, faults: RowFault[]): WorkAction | null {
  const action = actions.get(text.toLowerCase());
  if (action !== undefined) return action;
  const known = ["cleaned", "replaced", "reseated"];
  const words = `action is ${quoted(text)}: allowed are ${known.join(", ")}${didYouMean(text, known)}`;
  faults.push({ kind: "action", words });
  return null;
}

/** The work that a row tells of, or all that is wrong with it. */
export function readWorkRow(
  { cells: row, broken, line }: LogRow<WorkHeading>,
  pool: Pool,
  names: PoolNames,
  dates: SheetDates,
): WorkEntry | readonly RowFault[] {
  const faults = [...broken];
  const at = doneAt(row.done_at, dates, faults);
  const place = placeOfCells(pool, names, row);
  if (Array.isArray(place)) faults.push(...place);
  const action = actionOf(row.action, faults);
  const minutes = amount("minutes", row.minutes, faults);
  const cost = amount("cost", row.cost, faults);
  if (faults.length > 0 || at === null || !("lanes" in place) || action === null) return faults;
  const by = row.by || null;
  const note = row.note || null;
  return { doneAt: at, ...place, action, minutes, cost, by, note, line };
}
