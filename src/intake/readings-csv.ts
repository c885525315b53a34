import { circuitCells } from "../domain/place.ts";
import type { Reading } from "../domain/reading.ts";
import { csvLine } from "./csv-cell.ts";
import { decimalsOf } from "./volts-text.ts";

/** Columns of a sheet in this program's own hand. */
const columns = [
  "walk",
  "lane",
  "device",
  "end",
  "point",
  "volts",
  "taken_at",
  "meter",
  "meter_on",
  "state",
  "id",
  "by",
  "note",
] as const;

/**
 * Readings as a sheet that says the same when it is read: one row each, dates as ISO 8601, volts with
 * the digits that they were read with. A walk that a reading's own day names is not written.
 */
export function readingsCsv(readings: readonly Reading[]): string {
  const lines = readings.map((one) => {
    const cells = circuitCells(one);
    return csvLine([
      one.takenAt !== null && one.walk === one.takenAt.day ? "" : one.walk,
      cells.lane,
      cells.device,
      cells.end,
      one.point,
      one.volts.toFixed(decimalsOf(one.step)),
      one.takenAt?.text ?? "",
      one.meter,
      one.meterOn ? "yes" : "",
      one.state,
      one.id ?? "",
      one.by ?? "",
      one.note ?? "",
    ]);
  });
  return csvLine(columns) + lines.join("");
}
