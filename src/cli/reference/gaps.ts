import { type Exported, fileDoc } from "./exported.ts";
import { isNumber, measureOf } from "./units.ts";

/** One entry of the package and what it exports. */
export interface Entry {
  /** As a program imports it: `dropwise/circuit`. */
  readonly name: string;
  readonly file: string;
  readonly doc: string;
  readonly exported: readonly Exported[];
}

/** Standards, books, years of publication, and the project's own model. */
const citation =
  /\b(ISO|JCGM|ASTM|IEC|IEEE|RFC|ECMA|SPDX)\b|MODEL\.md|equations? \(\d|section \d|\b(18|19|20)\d\d\b(?!-)|common practice/;

const sentences = (text: string): readonly string[] =>
  text
    .replaceAll(/\n(?!\n)/g, " ")
    .split(/(?<=[.;])\s+(?=[A-Z*`])|(?<!Sources?):\s+(?=[A-Z*`])|\n{2,}|\n/);

/** Where what it computes or holds comes from: its own words, its file's, else its entry's. */
export function sourceSaid(one: Exported, entry: Entry): string | null {
  const own = [one.doc.replace(/@example[\s\S]*/, ""), fileDoc(one.file)].flatMap(sentences);
  const cited = own.find((sentence) => citation.test(sentence));
  const ofEntry = /^Source: ([\s\S]+?)(?:\n\n|(?![\s\S]))/m.exec(entry.doc)?.[1];
  return (cited ?? ofEntry)?.replaceAll("\n", " ").trim() ?? null;
}

/** What goes wrong with what it is given. */
export function errorsSaid(one: Exported): string | null {
  const said = sentences(one.doc).filter((sentence) => /\bthrows?\b/i.test(sentence));
  if (said.length > 0) return said.join(" ");
  if (one.throws) return null;
  if (/\bResult</.test(one.returns))
    return "Wrong data is a value: `ok` is false, `error` says why.";
  return "None of its own: what it is given must be of the types shown.";
}

/** What the doc comments leave unsaid of an export, one line each. */
function gapsOf(one: Exported, entry: Entry): readonly string[] {
  const numbers = one.parts.filter((part) => isNumber(part) && measureOf(part, one) === null);
  return [
    ...(one.doc.replace(/@[\s\S]*/, "").trim().length < 8 ? ["no meaning"] : []),
    ...numbers.map(({ name }) => `${name}: no unit or range`),
    ...(one.kind === "function" && errorsSaid(one) === null ? ["throws, and does not say so"] : []),
    ...(one.kind === "function" && one.returns === "" ? ["no type of what comes back"] : []),
    ...(sourceSaid(one, entry) === null ? ["no source"] : []),
  ].map((gap) => `${entry.name} ${one.name} (${one.file}): ${gap}`);
}

/** What the whole reference leaves unsaid. */
export const gaps = (entries: readonly Entry[]): readonly string[] =>
  entries.flatMap((entry) => entry.exported.flatMap((one) => gapsOf(one, entry)));
