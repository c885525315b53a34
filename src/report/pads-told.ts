import type { PadsDue } from "../meet/pads-due.ts";
import type { Words } from "../words/words.ts";

/** Whether the pads are due, in one sentence. */
export function padsTold(
  { state, unit, change, readjustDegrees }: PadsDue,
  { ready: { pads: say }, figures }: Words,
): string {
  const degrees = (value: number | null): string =>
    value === null ? "?" : `${figures.decimal(value, 1)} °${unit}`;
  switch (state) {
    case "no log":
      return say.noLog;
    case "never adjusted":
      return say.neverAdjusted;
    case "unknown degrees":
      return say.unknownDegrees(degrees(change));
    case "due":
      return say.due(degrees(change), degrees(readjustDegrees));
    case "fine":
      return say.fine(degrees(change), readjustDegrees === null ? null : degrees(readjustDegrees));
  }
}
