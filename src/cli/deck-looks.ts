import type { Pool } from "../domain/pool.ts";
import type { Reject } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { DateOrder } from "../intake/sheet/date-text.ts";
import { dayNumber } from "../rooms/domain-room.ts";
import type { Look } from "../rooms/meet-room.ts";
import { looksOf, openSeason, type Season, walksOf, walksUntil } from "../rooms/season-room.ts";
import type { Io } from "./command.ts";
import { loadReadings } from "./files.ts";
import { diagnoseLongSeason } from "./long-season.ts";

/** Sheets of readings as a season, oldest walk first; walks after `until` are left out. */
export async function loadLooks(
  pool: Pool,
  files: readonly string[],
  until: string | null,
  work: readonly WorkEntry[],
  dates: DateOrder | null,
  alone: boolean,
  { keeper }: Pick<Io, "keeper">,
): Promise<{ season: Season | null; looks: Look[]; rejected: readonly Reject[] }> {
  const { readings, rejected } = await loadReadings(files, pool, undefined, dates);
  const last = (until === null ? null : dayNumber(until)) ?? Number.POSITIVE_INFINITY;
  const walks = walksUntil(walksOf(pool, readings, work), last);
  const diagnosed = await diagnoseLongSeason(pool, walks, keeper, () => {});
  const season = openSeason(pool, diagnosed, work, undefined, { alone, keeper });
  return { season, looks: looksOf(season), rejected };
}
