import { type CircuitName, isOfLane } from "../domain/place.ts";
import type { Round } from "../meet/round.ts";
import { briefCautions } from "./cautions.ts";
import { counted, deviceCell } from "./names.ts";
import type { SheetHead } from "./round-csv.ts";
import { expectation, offText } from "./round-sheet.ts";
import { textOf } from "./wrap-text.ts";

/** `3 touchpad`; of a circuit of no lane, its device. */
const stopText = (stop: CircuitName): string =>
  `${isOfLane(stop) ? `${stop.lane} ` : ""}${deviceCell(stop)}`;

/** The round for a terminal: windows in order, and what to expect at each point. */
export function roundText(round: Round, head: SheetHead): string {
  const lines = [
    `${round.pool}, round of ${head.date}${head.by === "" ? "" : `, by ${head.by}`}`,
    `${counted(round.readings, "reading")} in ${counted(round.windows.length, "window")}, about ` +
      `${counted(Math.ceil(round.seconds / 60), "minute")}, ${counted(round.lanesWalked, "lane")} walked.`,
    offText(round),
    "",
    expectation(round),
    ...(round.expected ?? []).map(
      ({ point, low, high, median }) =>
        `  ${point}: ${low.toFixed(2)} to ${high.toFixed(2)} V, middle ${median.toFixed(2)} V`,
    ),
    "",
    ...round.windows.map(({ stops, seconds }, i) => {
      const at = stops.map((stop) => `${stopText(stop)} ${stop.point}`).join(", ");
      return `${String(i + 1).padStart(3)}. meter on (${Math.round(seconds)} s): ${at}`;
    }),
    "",
    briefCautions("Take care", "measure"),
  ];
  return textOf(lines);
}
