import type { Exported, Part } from "./exported.ts";
import { fileDoc } from "./exported.ts";

/** What a number counts in, and between what it lies. */
export interface Measure {
  readonly unit: string;
  readonly range: string;
}

/** Units that doc comments write in brackets, with the range of each that says no other: `[V]`. */
const units: Readonly<Record<string, string>> = {
  V: "0 or more",
  Ω: "0 or more; infinite for an open path",
  s: "0 or more",
  min: "0 or more",
  weeks: "0 or more",
  days: "0 or more",
  years: "0 or more",
  bit: "0 or more",
  currency: "0 or more, the pool file's currency",
  "currency per year": "0 or more, the pool file's currency",
  "per year": "over -1, as a share: 0.03 is 3 %",
  "per period": "over -1, as a share: 0.03 is 3 %",
  periods: "0 or more",
  m: "any",
  "°C": "-50 to 150",
  L: "over 0",
  nat: "any",
  "ln ohm": "any",
  "ln ohm a week": "any",
  whole: "whole, 0 or more",
  line: "whole, 1 or more; the headings are line 1",
  day: "whole, days since 1970-01-01",
  "s since 1970": "any, seconds since 1970-01-01T00:00",
  P: "0 to 1",
  share: "0 to 1",
};

/** Names that say it all, wherever they stand. */
const byName: readonly (readonly [pattern: RegExp, unit: string])[] = [
  [/^(probability|confidence|chance\w*)$/, "P"],
  [/volts$/i, "V"],
  [/ohms$/i, "Ω"],
  [/minutes\w*$/i, "min"],
  [/^weeks|weeks$/i, "weeks"],
  [/years$/i, "years"],
  [/days$/i, "days"],
  [/metres$/i, "m"],
  [/celsius$/i, "°C"],
  [/^line$/, "line"],
];

const byType = (type: string): string | null =>
  /\bVolts\b/.test(type) ? "V" : /\bOhms\b/.test(type) ? "Ω" : null;

/** `[V]`, or with a range of its own, `[share; over 0 to 1]`. */
function written(text: string): Measure | null {
  const [, inside] = /\[([^\]]+)\](?!\()/.exec(text.replaceAll(/\s+/g, " ")) ?? [];
  if (inside === undefined) return null;
  const [unit = "", range] = inside.split(/;\s*/);
  const known = range ?? units[unit];
  return known === undefined ? null : { unit, range: known };
}

/** What a text says of a name in backquotes: `` `i` [per period] ``. */
const writtenOf = (text: string, name: string): Measure | null =>
  written(new RegExp(`\`${name}\`\\s(\\[[^\\]]+\\])`).exec(text)?.[1] ?? "");

/** Numbers, and no function that is told some. */
export const isNumber = ({ type }: Part): boolean =>
  /\b(number|Volts|Ohms)\b/.test(type) && !type.includes("=>");

/** Unit and range of a number of an export; null where nobody wrote them down. */
export function measureOf(part: Part, of: Exported): Measure | null {
  const said =
    written(part.doc) ??
    written(part.type.replaceAll(/\[\w+: /g, "")) ??
    writtenOf(of.doc, part.name) ??
    writtenOf(fileDoc(of.file), part.name);
  if (said !== null) return said;
  const isChance = /\bP\(|^(posterior )?(probability|chance) /i.test(part.doc);
  const unit = isChance
    ? "P"
    : (byType(part.type) ?? byName.find(([pattern]) => pattern.test(part.name))?.[1]);
  return unit === undefined ? null : { unit, range: units[unit]! };
}
