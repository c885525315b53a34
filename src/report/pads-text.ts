import { isOfLane } from "../domain/place.ts";
import type { PadDoubt, PadsDue } from "../meet/pads-due.ts";
import { english } from "../words/english.ts";
import { takeCare } from "./cautions.ts";
import { padsTold } from "./pads-told.ts";
import { textOf } from "./wrap-text.ts";

/** Whether the pads are due, in words. */
export function padsText(pool: string, due: PadsDue): string {
  const lines = [`${pool}: ${verdict(due)}`, ...why(due), ...due.doubts.map(doubtWords)];
  if (due.state === "due" || due.state === "never adjusted")
    lines.push(...todo(due), takeCare("lift-pads"));
  return textOf(lines);
}

const degrees = (value: number | null, unit: string): string =>
  value === null ? "?" : `${value.toFixed(1)} °${unit}`;

/** The verdict in one sentence, in English. */
export const verdict = (due: PadsDue): string => padsTold(due, english);

function why({ water, waterAt, adjustedWater, adjustedAt, unit, air }: PadsDue): string[] {
  const lines: string[] = [];
  if (adjustedWater !== null)
    lines.push(
      `Adjusted ${adjustedAt} at ${degrees(adjustedWater, unit)}; ` +
        `now (${waterAt}) ${degrees(water, unit)}.`,
    );
  if (air !== null && air.pascals !== 0)
    lines.push(
      "Why it matters: pressure follows absolute temperature. Air sealed in a pad at this height " +
        `(${(air.outsidePascals / 100).toFixed(0)} hPa outside) changes by ` +
        `${(100 * air.relative).toFixed(2)} %, ${air.pascals.toFixed(0)} Pa, at constant volume` +
        (air.strokes === null
          ? "."
          : `; by the pump's law that is ${Math.abs(air.strokes).toFixed(1)} strokes of your pump ` +
            "on a rigid vessel (a soft pad gives way, so find the strokes on the pad itself)."),
    );
  return lines;
}

const doubtWords = (doubt: PadDoubt): string => {
  const who = isOfLane(doubt) ? ` (lane ${doubt.lane})` : "";
  if (doubt.kind === "not soaked")
    return `Line ${doubt.line}${who}: adjusted after ${doubt.found} minutes in the water; not counted.`;
  if (doubt.kind === "soak unknown")
    return `Line ${doubt.line}${who}: how long the pad soaked is not written; counted as soaked.`;
  return (
    `Line ${doubt.line}${who}: ${doubt.found} strokes on the day of the last adjustment, which ` +
    "found another number; one pad's strokes are the strokes for all."
  );
};

const todo = (due: PadsDue): string[] => [
  `To do: let one pad soak ${due.soakMinutes === null ? "as its maker says" : `${due.soakMinutes} minutes`}, ` +
    "find how many strokes of the pump it takes, and set every pad alike, spares included" +
    (due.strokes === null
      ? "."
      : `. Last found: ${due.strokes}${due.strokesFrom === null ? "" : ` (lane ${due.strokesFrom})`}.`),
];
