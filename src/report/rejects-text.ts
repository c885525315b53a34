import type { Reject } from "../domain/reading.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import type { CommandWords } from "../words/command-words.ts";
import { type Language, wordsIn } from "../words/language.ts";
import { wrapped } from "./wrap-text.ts";

/** Lines that are named of one kind of fault. */
const mostLines = 5;

/** A sheet of which a larger share was not used says so before anything else. */
const littleUnused = 0.1;

function linesText(lines: readonly number[], { lines: say }: CommandWords): string {
  const [first, last] = [lines[0]!, lines.at(-1)!];
  if (lines.length === 1) return say.one(first);
  if (last - first === lines.length - 1) return say.run(first, last);
  const more = lines.length - mostLines;
  return more > 0 ? say.more(lines.slice(0, mostLines), more) : say.some(lines);
}

/** One sentence for all rows of a file with the same fault; a wide row's cells count as one row. */
function kindLine(own: readonly Reject[], say: CommandWords): string {
  const lines = [...new Set(own.map(({ line }) => line))];
  const reasons = new Set(own.map(({ reason }) => reason));
  const such = reasons.size > 1 ? `${say.suchAs}: ` : "";
  return `  ${linesText(lines, say)}: ${such}${own[0]!.reason}`;
}

function grouped(rejected: readonly Reject[], by: "file" | "kind"): Map<string, Reject[]> {
  const groups = new Map<string, Reject[]>();
  for (const one of rejected) {
    const group = groups.get(one[by]) ?? [];
    group.push(one);
    groups.set(one[by], group);
  }
  return groups;
}

/** The rows that could not be used, file by file: one sentence for each kind of fault. */
export function rejectsText(rejected: readonly Reject[], language: Language = "en"): string {
  const say = wordsIn(language).command;
  return [...grouped(rejected, "file")]
    .flatMap(([file, own]) => [
      say.notUsed(file, own.length),
      ...[...grouped(own, "kind").values()].map((kind) => kindLine(kind, say)),
    ])
    .flatMap((line) => wrapped(line))
    .map((line) => `${line}\n`)
    .join("");
}

/** Remarks about files, which have English words alone: where another language is spoken, that first. */
export function remarks(text: string, language: Language): string {
  const { remarks: head } = wordsIn(language).command;
  return text === "" || head === null ? text : `${head}\n${text}`;
}

/**
 * What has to be said first where over a tenth of the rows was not used; empty where less was. Blank
 * values don't count: nothing was read there.
 */
export function unusedHeadline(
  rows: RowCounts,
  rejected: readonly Reject[],
  language: Language = "en",
): string {
  const lost = rejected.filter(({ kind }) => kind !== "blank").length;
  if (lost <= littleUnused * (rows.in - (rows.rejected - lost))) return "";
  return `${wordsIn(language).check.unused(lost, rows.in, rows.used)}\n\n`;
}
