import type { MeterWindow } from "../meet/meter-windows.ts";
import type { Round } from "../meet/round.ts";
import type { Stop } from "../meet/round-order.ts";
import { takeCare } from "./cautions.ts";
import { counted, laneCell } from "./names.ts";
import type { SheetHead } from "./round-csv.ts";
import { figuresOf } from "./round-pages.ts";
import { expectation, offText } from "./round-sheet.ts";
import { textOf } from "./wrap-text.ts";

/** The round for a terminal: where to stand in which order, and what would matter. */
export function roundText(round: Round, head: SheetHead): string {
  const lines = [
    `${round.pool}, round of ${head.date}${head.by === "" ? "" : `, by ${head.by}`}`,
    `${counted(round.readings, "reading")} in ${counted(round.windows.length, "window")}, about ` +
      `${counted(Math.ceil(round.seconds / 60), "minute")}, ${counted(round.lanesWalked, "lane")} walked.`,
    offText(round),
    "",
    expectation(round),
    ...(round.expected ?? []).map(({ point }) => {
      const { range, drop } = figuresOf(round, point);
      return `  ${point}: ${range ?? drop} V`;
    }),
    "",
    ...stands(round),
    "",
    takeCare("measure"),
  ];
  return textOf(lines);
}

/** Where one stands, what is read there, and how often the meter is switched on: a line for each. */
function stands({ windows }: Round): readonly string[] {
  const groups = new Map<string, { readonly first: Stop; readonly windows: MeterWindow[] }>();
  for (const window of windows) {
    const first = window.stops[0]!;
    const key = `${first.place} ${first.place === "lane" ? (first.end ?? "") : ""}`;
    const group = groups.get(key) ?? { first, windows: [] };
    group.windows.push(window);
    groups.set(key, group);
  }
  return [...groups.values()].map(({ first, windows: own }, k) => {
    const stops = own.flatMap((window) => window.stops);
    const points = [...new Set(stops.map(({ point }) => point))].join(", ");
    const lanes = [...new Set(stops.map((stop) => laneCell(stop)))].join(" ");
    const end = first.end === null ? "" : ` at the ${first.end} end`;
    const where =
      first.place === "timer" ? "At the timer, every lane" : `Lane by lane (${lanes})${end}`;
    return (
      `${k + 1}. ${where}: ${points}; ${counted(stops.length, "reading")}, ` +
      `meter switched on ${counted(own.length, "time")}.`
    );
  });
}
