import {
  type DatedWalk,
  type DiagnosedWalk,
  decide,
  type PoolTrend,
  toReadAgain,
  trend,
  walkStanding,
} from "../analyze.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import { rejectsText } from "../report/check-text.ts";
import { dateWarnings, leftOutText } from "../report/date-text.ts";
import { decideJson, decideText } from "../report/decide-text.ts";
import { unjudgedWords } from "../report/unjudged.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { loadPool, loadReadings, loadWorkLog, warningLines } from "./files.ts";
import { diagnoseLongSeason } from "./long-season.ts";
import { type ProgressLine, progressLine } from "./progress.ts";

const example = `
Decides on the suspects of the latest walk. Earlier walks and the work log say how fast each contact
gets worse and how often cleaning has cured it; without them, defaults stand in. Prices, labour,
discount rate, horizon and the cost of a lost lane come from the pool file's section costs.

Example:
  $ dropwise decide --pool pool.yaml --work work.csv 2026-spring.csv 2026-summer.csv
  for each suspect: leave, clean, replace now or later, what each costs, and where the choice turns;
  exit status 0 where nothing is a suspect, 1 where something is or where the walk cannot be judged,
  2 for input that can't be used.
`;

interface Options {
  readonly pool: string;
  readonly work?: string;
  readonly json?: boolean;
}

/** `dropwise decide`: clean or replace. */
export const registerDecide: Register = (program, io) => {
  program
    .command("decide")
    .description("Clean or replace: what each suspect's courses cost, and which is best.")
    .argument("<readings...>", "sheets of readings, any number of walks in each")
    .option("--pool <file>", "the pool file", "pool.yaml")
    .option("--work <file>", "the work log: cleanings, replacements, reseatings")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", example)
    .action((sheets: readonly string[], options: Options) => decideOn(sheets, options, io));
};

async function decideOn(sheets: readonly string[], options: Options, io: Io): Promise<void> {
  const progress = progressLine(io);
  const pool = await loadPool(options.pool);
  const work = options.work === undefined ? null : await loadWorkLog(options.work, pool);
  const { readings, rejected, warnings } = await loadReadings(sheets, pool, (share, rows) =>
    progress.show(`reading ${Math.round(100 * share)} %, ${rows} rows`),
  );
  const season = await diagnoseLongSeason(pool, readings, (done, of) =>
    progress.show(`diagnosing walk ${done + 1} of ${of}`),
  );
  const latest = latestOf(season);
  progress.clear();
  const all = [...rejected, ...(work?.rejected ?? [])];
  io.err(rejectsText(all));
  io.err(warningLines(warnings));
  if (latest === null) {
    throw new UnusableInput(`${sheets.join(", ")}: no reading at rest to decide on`);
  }
  io.err(leftOutText(undatedBut(latest, season)));
  io.err(
    dateWarnings(
      season.map(({ day, diagnosis }) => ({ walk: diagnosis.walk, day })),
      work?.entries ?? [],
    ),
  );
  const history = historyOf(pool, season, work?.entries ?? [], progress);
  const decisions = decide(pool, latest.diagnosis, history, undefined, (done, of) =>
    progress.show(`deciding on suspect ${done + 1} of ${of}`),
  );
  progress.clear();
  const { diagnosis, readings: own } = latest;
  const { walk } = diagnosis;
  const unjudged = unjudgedWords(diagnosis, walkStanding(pool, diagnosis, own), own);
  const again = toReadAgain(diagnosis, history);
  io.out(
    options.json
      ? decideJson(pool, walk, decisions, all, again)
      : decideText(pool, walk, decisions, { unjudged, again }),
  );
  io.exit(decisions.length + again.length > 0 || unjudged !== null ? 1 : 0);
}

const saysSomething = ({ diagnosis }: DiagnosedWalk): boolean => diagnosis.contacts.length > 0;

/** The latest walk by date; the last of the sheets where none has one. */
function latestOf(season: readonly DiagnosedWalk[]): DiagnosedWalk | null {
  const useful = season.filter(saysSomething);
  return useful.findLast(({ day }) => day !== null) ?? useful.at(-1) ?? null;
}

/** Names of the walks without a date, which say nothing here; the one decided on is none of them. */
const undatedBut = (latest: DiagnosedWalk, season: readonly DiagnosedWalk[]): readonly string[] =>
  season.filter((one) => one.day === null && one !== latest).map(({ diagnosis }) => diagnosis.walk);

/** What the dated walks say about growth and cleanings; null without any. */
function historyOf(
  pool: Pool,
  season: readonly DiagnosedWalk[],
  work: readonly WorkEntry[],
  progress: ProgressLine,
): PoolTrend | null {
  const walks = season.flatMap(({ day, ...walk }): DatedWalk[] =>
    day === null ? [] : [{ ...walk, day }],
  );
  if (!walks.some(({ diagnosis }) => diagnosis.contacts.length > 0)) return null;
  return trend(pool, walks, work, (what, done, of) =>
    progress.show(`${what} ${Math.floor((100 * done) / Math.max(1, of))} %`),
  );
}
