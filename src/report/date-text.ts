import { DAYS_PER_YEAR, dayNumber, dayText } from "../domain/calendar.ts";
import type { WorkEntry } from "../domain/work.ts";
import { FAR_OFF } from "../history/read-season.ts";
import { connectorName, counted } from "./names.ts";

/** No walk lies this far from the next one unless a date is wrong, or years are missing [days]. */
const TWO_YEARS = 730;
/** At most this many names or warnings of one kind. */
const MOST = 5;

/** A walk with its place in time, as a day number; null without a date. */
interface WalkDay {
  readonly walk: string;
  readonly day: number | null;
}

/** Which walks were left out because they have no date; empty where none was. */
export function leftOutText(undated: readonly string[]): string {
  if (undated.length === 0) return "";
  const more = undated.length - MOST;
  const others = more > 0 ? ` and ${more} more` : "";
  return `left out, no date: walk ${undated.slice(0, MOST).join(", walk ")}${others}\n`;
}

/** `36 years`, `14 months`, from at least a year. */
const spanText = (days: number): string =>
  days < TWO_YEARS
    ? counted(Math.round(days / 30.44), "month")
    : counted(Math.round(days / DAYS_PER_YEAR), "year");

/** `walk spring (2026-05-02)`, `walk 2026-05-02`. */
const walkText = ({ walk, day }: { readonly walk: string; readonly day: number }): string =>
  walk === dayText(day) ? `walk ${walk}` : `walk ${walk} (${dayText(day)})`;

/** Every doubt on a line of its own, the first few in full. */
function doubts(lines: readonly string[]): readonly string[] {
  const more = lines.length - MOST;
  return [
    ...lines.slice(0, MOST).map((line) => `a date may be wrong: ${line}`),
    ...(more > 0 ? [`and ${counted(more, "more such date")}`] : []),
  ];
}

/** Walks more than two years apart with none between. */
function walkLines(walks: readonly { readonly walk: string; readonly day: number }[]) {
  return walks.flatMap((one, i) => {
    const before = walks[i - 1];
    if (before === undefined || one.day - before.day <= TWO_YEARS) return [];
    return [
      `${walkText(one)} lies ${spanText(one.day - before.day)} after ${walkText(before)}, and no ` +
        "walk between them",
    ];
  });
}

/** Works more than a year after the latest walk. */
function workLines(latest: number, work: readonly WorkEntry[]): readonly string[] {
  return work.flatMap(({ doneAt, action, line, ...place }) => {
    const day = dayNumber(doneAt.day);
    if (day === null || day - latest <= FAR_OFF) return [];
    const where = connectorName({ ...place, connector: place.point });
    return [
      `line ${line} of the work log (${where} ${action} ${doneAt.day}) ` +
        `lies ${spanText(day - latest)} after the latest walk, ${dayText(latest)}`,
    ];
  });
}

/** Dates that look wrong beside the others, one line each; empty where all look right. */
export function dateWarnings(walks: readonly WalkDay[], work: readonly WorkEntry[]): string {
  const dated = walks
    .flatMap(({ walk, day }) => (day === null ? [] : [{ walk, day }]))
    .toSorted((a, b) => a.day - b.day);
  const latest = dated.at(-1);
  if (latest === undefined) return "";
  const lines = [...doubts(walkLines(dated)), ...doubts(workLines(latest.day, work))];
  return lines.map((line) => `${line}\n`).join("");
}
