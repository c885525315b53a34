/** What `dropwise check --json` prints of a folder, in this process, and as one line. */
import { checkJson } from "../../../src/report/check-json.ts";
import { readPool, readReadings } from "../../../src/rooms/intake-room.ts";
import { diagnoseTimed, walkStarts, walksOf } from "../../../src/rooms/season-room.ts";
import type { MadeFolder } from "./made-folders.ts";

/** The answer's text, and how many readings the folder has. */
export interface Answered {
  /** As `check --json` prints it. */
  readonly json: string;
  readonly readings: number;
}

interface Ways {
  /** csv-parse's synchronous call; Node's own build where the browser's can't run. */
  readonly parse?: Parameters<typeof readReadings>[3];
  /** As with `--alone`: the walks before it have no say. */
  readonly alone?: boolean;
}

/** The latest walk of the folder, starting from what the walks before it left. */
export function answerOf(
  { name, files }: MadeFolder,
  { parse, alone = false }: Ways = {},
): Answered {
  const read = readPool(files["pool.yaml"], `${name}/pool.yaml`);
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  const pool = read.value;
  const sheet = readReadings(files["readings.csv"], pool, "readings.csv", parse);
  const walks = walksOf(pool, sheet.readings, []);
  const latest = walks.at(-1)!;
  const start = alone ? null : walkStarts(pool, walks, [])(latest);
  const { diagnosis } = diagnoseTimed(pool, latest, true, start);
  return { json: checkJson(pool.name, [diagnosis], sheet), readings: sheet.readings.length };
}

/** One line of it: JSON without line breaks, for files of many answers. */
export const lineOf = (json: string): string => `${JSON.stringify(JSON.parse(json))}\n`;
