import { csvLine } from "../intake/csv-cell.ts";
import { roundColumns } from "../intake/round-columns.ts";
import type { Round } from "../meet/round.ts";
import { laneCell } from "./names.ts";

/** What stands on a sheet before the walk starts. */
export interface SheetHead {
  /** Day of the walk, `YYYY-MM-DD`. */
  readonly date: string;
  /** Who walks; empty: written on the sheet. */
  readonly by: string;
}

/**
 * The round as a sheet to type into: readings.csv in the order of the walk, `volts` left empty, plus
 * the window and what of a reading would matter, which the reader passes over.
 */
export function roundCsv(round: Round, head: SheetHead): string {
  const hasEnds = round.windows.some(({ stops }) => stops.some(({ end }) => end !== null));
  const columns = [
    "lane",
    "device",
    ...(hasEnds ? ["end"] : []),
    "point",
    "volts",
    "taken_at",
    "meter",
    "meter_on",
    "by",
    "note",
    ...roundColumns,
  ];
  const rows = round.windows.flatMap(({ stops }, window) =>
    stops.map((stop, i) => {
      const expected = round.expected?.find((one) => one.point === stop.point);
      const isFirst = expected?.drop === 0;
      return [
        laneCell(stop),
        stop.device,
        ...(hasEnds ? [stop.end ?? ""] : []),
        stop.point,
        "",
        head.date,
        round.meter.name,
        i === 0 ? "yes" : "",
        head.by,
        "",
        String(window + 1),
        isFirst ? expected.low.toFixed(2) : "",
        isFirst ? expected.high.toFixed(2) : "",
        expected === undefined || isFirst ? "" : expected.drop.toFixed(2),
      ];
    }),
  );
  return [columns, ...rows].map((row) => csvLine(row)).join("");
}
