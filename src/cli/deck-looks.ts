import {
  type CleaningRecord,
  cleaningRecord,
  contactHistories,
  type DiagnosedWalk,
  dayNumber,
  dayText,
  diagnoseSeason,
  type Look,
} from "../analyze.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reject } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import { UnusableInput } from "./command.ts";
import { exists, loadReadings, loadWorkLog } from "./files.ts";

/** Sheets of readings, each walk diagnosed, oldest first; walks after `until` are left out. */
export async function loadLooks(
  pool: Pool,
  files: readonly string[],
  until: string | null,
): Promise<{ walks: DiagnosedWalk[]; looks: Look[]; rejected: readonly Reject[] }> {
  const { readings, rejected } = await loadReadings(files, pool);
  const last = (until === null ? null : dayNumber(until)) ?? Number.POSITIVE_INFINITY;
  const walks = diagnoseSeason(pool, readings).filter(({ day }) => day === null || day <= last);
  const looks = walks.map(({ diagnosis, day, seconds }) => ({
    diagnosis,
    day: day === null ? null : dayText(day),
    seconds,
  }));
  return { walks, looks, rejected };
}

/** The work log that the user named, or work.csv where it is there. */
export async function workIfThere(
  named: string | undefined,
  pool: Pool,
): Promise<{ entries: readonly WorkEntry[]; rejected: readonly Reject[] }> {
  const file = named ?? "work.csv";
  if (await exists(file)) return loadWorkLog(file, pool);
  if (named !== undefined) throw new UnusableInput(`${named} does not exist`);
  return { entries: [], rejected: [] };
}

/** What cleanings have done so far; null where no walk has a day. */
export function recordOf(
  pool: Pool,
  walks: readonly DiagnosedWalk[],
  work: readonly WorkEntry[],
): CleaningRecord | null {
  const dated = walks.flatMap((walk) => (walk.day === null ? [] : [{ ...walk, day: walk.day }]));
  return dated.length === 0 ? null : cleaningRecord(pool, contactHistories(pool, dated, work));
}
