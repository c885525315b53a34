import type { Act, NextAdvice, NextReading } from "../diagnosis/next-reading.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { sentence } from "../words/figure-words.ts";
import { takeCare } from "./cautions.ts";
import { circuitText, connectorName, laneCell, percentText, voltsText } from "./names.ts";
import { tableText } from "./text-table.ts";
import { prose, textOf } from "./wrap-text.ts";

/** Why there is nothing more to read. */
export const stopWords: Readonly<Record<NonNullable<NextAdvice["stop"]>, string>> = {
  "all-settled": "Stop here: every circuit is sound or weak, and no reading would change that.",
  "nothing-worth-taking": "Stop here: no reading left would tell 0.01 bit.",
};

/** What `next` prints: the best readings to take now, or why to stop. */
export function nextText(pool: Pool, { readings, unplug, stop }: NextAdvice): string {
  const [best] = readings;
  const device = prose(unplug.slice(0, 1).map(unplugText));
  if (best === undefined) {
    return [...(stop === null ? [] : [stopWords[stop]]), ...device, ""].join("\n");
  }
  const rows = readings.map((one, i) => [
    `${i + 1}`,
    laneCell(one),
    one.device,
    one.point,
    actWords[one.act],
    one.bits.toFixed(2),
    one.seconds.toFixed(0),
    one.bitsPerSecond.toFixed(3),
  ]);
  const table = tableText(
    ["#", "lane", "device", "point", "how", "bits", "seconds", "bits/s"],
    rows,
    ["right", "right", "left", "left", "left", "right", "right", "right"],
  );
  return textOf([
    `${pool.name}: read ${placeText(best)} next${movedWords(best)}.`,
    ...table,
    ...device,
    "",
    "Bits: how much it tells of its circuit's verdict, or of what it looks for.",
    takeCare("measure"),
  ]);
}

/** What `next --json` prints. */
export const nextJson = (
  pool: string,
  walk: string | null,
  { readings, unplug, stop }: NextAdvice,
): string =>
  `${JSON.stringify({ schema: "dropwise-next-2", pool, walk, readings, unplug, stop }, null, 2)}\n`;

/** How a reading is taken. */
export const actWords: Readonly<Record<Act, string>> = {
  read: "as always",
  move: "plug moved",
  unplug: "unplugged",
};

const movedWords = ({ act }: NextReading): string =>
  act === "move" ? ", while you move its plug" : "";

/** What to do to know whether a device conducts. */
const unplugText = (one: NextReading): string =>
  `Or unplug the ${circuitText(one)} and read the ${one.point} without it: if the volts come up, ` +
  `the device is at fault. That reading goes into no sheet.`;

/** `lane 3 touchpad at the pod`. */
const placeText = (next: NextReading): string => `${circuitText(next)} at the ${next.point}`;

/** What a guided walk asks for: `12  Lane 3 touchpad, pod: `. */
export const askText = (taken: number, next: NextReading): string =>
  `${taken + 1}  ${sentence(circuitText(next))}, ${next.point}${movedWords(next)}: `;

/** The leading suspect in one line. */
export function suspectText({ connectors }: WalkDiagnosis): string {
  const lead = connectors[0];
  if (lead === undefined) return "";
  const name = `${connectorName(lead)} ${percentText(lead.atFault)}`;
  return lead.atFault < 0.5
    ? `   no suspect (most likely ${name})\n`
    : `   suspect: ${name}, drops ${voltsText(lead.voltsLost)}\n`;
}

export const walkHelp = `   type what the meter shows: 4.91  4,91  4.9 V
   -  can't reach this point     u  undo the last reading
   m  meter just switched on     q  stop     ?  help
`;
