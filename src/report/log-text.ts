import { inLine } from "../words/place-words.ts";

/** A row's place in words, by its cells: `lane 3 touchpad pod`, `start`; what is blank is left out. */
export const rowPlace = ({ lane = "", device = "", point = "" }: RowPlace): string =>
  [/^(none)?$/.test(lane) ? "" : `lane ${lane}`, device, point]
    .filter((word) => word !== "")
    .map(inLine)
    .join(" ");

/** Cells that say where; one that the sheet has not is blank. */
interface RowPlace {
  readonly lane?: string;
  readonly device?: string;
  readonly point?: string;
}

/** One row of the work log in words: `cleaned lane 3 plate, 2026-06-12T08:30, by KM`. */
export function workRowText(row: {
  readonly done_at: string;
  readonly lane: string;
  readonly device: string;
  readonly point: string;
  readonly action: string;
  readonly by: string;
}): string {
  const by = row.by === "" ? "" : `, by ${row.by}`;
  return `${row.action} ${rowPlace(row)}, ${row.done_at}${by}`;
}
