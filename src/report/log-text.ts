import { inLine } from "../words/place-words.ts";

/** One row of the work log in words: `cleaned lane 3 plate, 2026-06-12T08:30, by KM`. */
export function workRowText(row: {
  readonly done_at: string;
  readonly lane: string;
  readonly device: string;
  readonly point: string;
  readonly action: string;
  readonly by: string;
}): string {
  const place = [/^(none)?$/.test(row.lane) ? "" : `lane ${row.lane}`, row.device, row.point];
  const by = row.by === "" ? "" : `, by ${row.by}`;
  return `${row.action} ${place
    .filter((word) => word !== "")
    .map(inLine)
    .join(" ")}, ${row.done_at}${by}`;
}
