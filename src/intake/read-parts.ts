import type { Part } from "../domain/part.ts";
import type { Moment } from "../domain/reading.ts";
import { type InputFault, ok, type Result } from "../domain/result.ts";
import { plainName } from "./pool-names.ts";
import { quoted } from "./quoted.ts";
import { type LogLines, readLogLines, STATE } from "./sheet/log-lines.ts";
import type { LogOptions, LogRow, LogSpec } from "./sheet/log-sheet.ts";
import type { RowFault } from "./sheet/row-fault.ts";
import type { SheetDates } from "./sheet/sheet-dates.ts";

/** What a parts register gave: every row is a line, a reject or a repeat. */
export interface PartsSheet extends Omit<LogLines<Part>, "lines"> {
  readonly parts: readonly Part[];
}

/** Columns of `parts.csv`. */
export const partHeadings = ["part", "kind", "where", "since", "note", STATE] as const;
type Heading = (typeof partHeadings)[number];

const byName = new Map(partHeadings.map((one) => [plainName(one), one] as const));

export const partsSpec: LogSpec<Heading> = {
  needed: ["part", "where"],
  optional: ["kind", "since", "note", STATE],
  meaning: (text) => byName.get(plainName(text)) ?? null,
  dates: ["since"],
};

type Noted = Omit<Part, "since"> & { readonly takenAt: Moment | null };

/**
 * Reads `parts.csv`: columns part (its tag) and where (`spare`, `gone` or a place); optional kind, since,
 * note, state (`struck` takes the same row back). A part may have many lines: its latest counts. Nothing throws on bad input.
 */
export function readParts(
  text: string,
  file: string,
  options?: LogOptions,
): Result<PartsSheet, InputFault> {
  const read = readLogLines<Heading, Noted>(text, file, partsSpec, options, partOf);
  if (!read.ok) return read;
  const { lines, ...rest } = read.value;
  return ok({ parts: lines.map(({ takenAt, ...part }) => ({ ...part, since: takenAt })), ...rest });
}

function partOf(
  { cells, line }: LogRow<Heading>,
  dates: SheetDates,
  faults: RowFault[],
): Noted | null {
  const wrong = (kind: string, words: string) => void faults.push({ kind, words });
  if (cells.part === "") wrong("part", "part is blank: the tag of the part");
  if (cells.where === "") wrong("where", "where is blank: spare, gone, or a place");
  const takenAt = cells.since === "" ? null : dates.moment(cells.since);
  if (cells.since !== "" && takenAt === null)
    wrong("since", `since is ${quoted(cells.since)}: ${dates.fault(cells.since)}`);
  if (cells.part === "" || cells.where === "") return null;
  const plain = plainName(cells.where);
  const where = plain === "spare" || plain === "gone" ? plain : cells.where;
  return { tag: cells.part, kind: cells.kind, where, takenAt, note: cells.note || null, line };
}
