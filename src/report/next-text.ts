import type { NextAdvice, NextReading } from "../diagnosis/next-reading.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { isAccused } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { type Language, wordsIn } from "../words/language.ts";
import type { Words } from "../words/words.ts";
import { briefCautions } from "./cautions.ts";
import { byHeads, tableText } from "./text-table.ts";
import { prose, textOf } from "./wrap-text.ts";

const isMoved = ({ act }: NextReading): boolean => act === "move";

/** What `next` prints: the best readings to take now, or why to stop. */
export function nextText(
  pool: Pool,
  { readings, unplug, stop }: NextAdvice,
  language: Language = "en",
): string {
  const words = wordsIn(language);
  const { next, places, figures } = words;
  const [best] = readings;
  const device = unplug.slice(0, 1).map(next.unplug);
  if (best === undefined) {
    const why = stop === null ? [] : [next.stops[stop]];
    return [...prose([...why, ...device]), ""].join("\n");
  }
  const rows = readings.map((one, i) => [
    `${i + 1}`,
    places.laneCell(one),
    one.device,
    one.point,
    next.acts[one.act],
    figures.decimal(one.seconds, 0),
  ]);
  const align = ["right", "right", "left", "left", "left", "right"] as const;
  const table = tableText(next.heads, rows, align, byHeads(next.heads, 4));
  return textOf([
    next.next(pool.name, best, isMoved(best)),
    ...table,
    ...prose(device),
    "",
    briefCautions(words.cautions, "any", "measure"),
  ]);
}

/** What `next --json` prints. */
export const nextJson = (
  pool: string,
  walk: string | null,
  { readings, unplug, stop }: NextAdvice,
): string =>
  `${JSON.stringify({ schema: "dropwise-next-2", pool, walk, readings, unplug, stop }, null, 2)}\n`;

/** What a guided walk asks for: `12  Lane 3 touchpad, pod: `. */
export const askText = (taken: number, one: NextReading, { next }: Words): string =>
  next.ask(taken + 1, one, isMoved(one));

/** The leading suspect in one line. */
export function suspectText({ connectors }: WalkDiagnosis, { next }: Words): string {
  const lead = connectors[0];
  if (lead === undefined) return "";
  return isAccused(lead)
    ? `   ${next.suspect(lead, lead.atFault, lead.voltsLost)}\n`
    : `   ${next.noSuspect(lead, lead.atFault)}\n`;
}
