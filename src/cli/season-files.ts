import type { DateOrder } from "../intake/sheet/date-text.ts";
import { dateWarnings, leftOutText } from "../report/date-text.ts";
import { rejectsText, remarks } from "../report/rejects-text.ts";
import type { Pool, Reading, Reject, WorkEntry } from "../rooms/domain-room.ts";
import { openSeason, type Season, type SeasonProgress, walksOf } from "../rooms/season-room.ts";
import { wordsIn } from "../words/language.ts";
import { type Io, UnusableInput } from "./command.ts";
import { loadReadings, loadWorkLog, warningLines } from "./files.ts";
import { diagnoseLongSeason } from "./long-season.ts";
import { neededSheets, openPool, type PoolFolder, sayUsed, usualFile } from "./pool-folder.ts";
import { nothingIn } from "./sources.ts";

/** Files that a season is made from, by name. */
export interface SeasonPaths {
  /** The pool's folder or its pool file; left out: the one that is found. */
  readonly pool: string | undefined;
  /** None: the pool's own sheets. */
  readonly readings: readonly string[];
  /** Left out: the pool's work.csv, where it is there. */
  readonly work: string | undefined;
  /** How dates are meant that can be read two ways; null where the user does not say. */
  readonly dates: DateOrder | null;
  /** The latest walk is diagnosed by its own readings alone. */
  readonly alone: boolean;
}

export const aloneHelp = "leave earlier walks and works out of what the walk starts from";

/** What stood in them, opened. */
export interface SeasonFiles {
  readonly folder: PoolFolder;
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly rejects: readonly Reject[];
  readonly work: readonly WorkEntry[];
  readonly season: Season;
}

/** The work log that was named, or the pool's own. */
export async function workOf(
  folder: PoolFolder,
  named: string | undefined,
  dates: DateOrder | null,
  io: Pick<Io, "note" | "language">,
): Promise<{ readonly entries: readonly WorkEntry[]; readonly rejected: readonly Reject[] }> {
  const file = await usualFile(folder, named, "work.csv");
  if (file === null) return { entries: [], rejected: [] };
  const log = await loadWorkLog(file, folder.pool, dates, io.note);
  if (named === undefined) {
    folder.used.pop();
    folder.used.push(
      `work.csv (${wordsIn(io.language).places.counted(log.entries.length, "entry")})`,
    );
  }
  return log;
}

/** What a season's files hold, before anything is diagnosed. */
interface SeasonSheets extends Omit<SeasonFiles, "season"> {
  /** Of the sheets, as messages name them. */
  readonly names: string;
  /** Says on standard error which rows cannot be used and what is worth a look. */
  readonly tell: () => void;
}

/** Reads a season's files; those that cannot be used throw. */
export async function readSeasonSheets(
  paths: SeasonPaths,
  io: Io,
  progress: SeasonProgress,
): Promise<SeasonSheets> {
  const folder = await openPool(paths.pool);
  const { pool } = folder;
  const sheets = await neededSheets(folder, paths.readings);
  const { readings, rejected, warnings } = await loadReadings(
    sheets,
    pool,
    (share) => progress("reading", share, 1),
    paths.dates,
  );
  const names = sheets.join(", ");
  if (readings.length === 0) {
    io.err(rejectsText(rejected, io.language));
    throw new UnusableInput(nothingIn(sheets, rejected));
  }
  const work = await workOf(folder, paths.work, paths.dates, io);
  sayUsed(folder, io);
  const rejects = [...rejected, ...work.rejected];
  const tell = (): void => {
    io.err(rejectsText(rejects, io.language));
    io.note(remarks(warningLines(warnings), io.language));
  };
  return { folder, pool, readings, rejects, work: work.entries, names, tell };
}

/** Reads and opens a season, and says what its files leave to say. */
export async function readSeasonFiles(
  paths: SeasonPaths,
  io: Io,
  progress: SeasonProgress,
): Promise<SeasonFiles> {
  const { names, tell, ...files } = await readSeasonSheets(paths, io, progress);
  const { pool, readings, work } = files;
  const { keeper } = io;
  const walks = await diagnoseLongSeason(pool, walksOf(pool, readings, work), keeper, (done, of) =>
    progress("walks", done, of),
  );
  const season = openSeason(pool, walks, work, progress, { alone: paths.alone, keeper });
  progress("", 0, 0);
  tell();
  if (season === null) throw new UnusableInput(`${names}: no reading at rest to go by`);
  io.err(remarks(leftOutText(season.undated), io.language));
  const days = season.walks.map(({ day, diagnosis }) => ({ walk: diagnosis.walk, day }));
  io.err(remarks(dateWarnings(days, work), io.language));
  return { ...files, season };
}
