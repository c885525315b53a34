import { type DatedWalk, type DiagnosedWalk, trend } from "../analyze.ts";
import { rejectsText } from "../report/check-text.ts";
import { dateWarnings, leftOutText } from "../report/date-text.ts";
import { trendJson } from "../report/trend-json.ts";
import { trendText } from "../report/trend-text.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { loadPool, loadReadings, loadWorkLog, warningLines } from "./files.ts";
import { diagnoseLongSeason } from "./long-season.ts";

interface Options {
  readonly pool: string;
  readonly work?: string;
  readonly json?: boolean;
}

const example = `
Example:
  $ dropwise trend --pool pool.yaml --work work.csv 2026-spring.csv 2026-summer.csv
  names the circuits that will reach the facility's limit first, and when (median, 80 % interval);
  exit status 1 where a path is at its limit or will be before the next look.
`;

/** `dropwise trend`: what is getting worse. */
export const registerTrend: Register = (program, io) => {
  program
    .command("trend")
    .description("What is getting worse: growth, the day each path reaches its limit, cleanings.")
    .argument("<readings...>", "sheets of readings, any number of walks in each")
    .option("--pool <file>", "the pool file", "pool.yaml")
    .option("--work <file>", "the work log: cleanings, replacements, reseatings")
    .option("--json", "print everything as JSON, every observation included")
    .addHelpText("after", example)
    .action(async (sheets: readonly string[], options: Options) => {
      const pool = await loadPool(options.pool);
      const work = options.work === undefined ? null : await loadWorkLog(options.work, pool);
      const tell = teller(io);
      const { readings, rejected, warnings } = await loadReadings(sheets, pool, (share) =>
        tell("reading", share, 1),
      );
      const season = await diagnoseLongSeason(pool, readings, (done, of) =>
        tell("diagnosis", done, of),
      );
      const { walks, undated } = dated(season);
      tell("", 0, 0);
      const all = [...rejected, ...(work?.rejected ?? [])];
      io.err(rejectsText(all));
      io.err(warningLines(warnings));
      if (!walks.some(({ diagnosis }) => diagnosis.contacts.length > 0))
        throw new UnusableInput(
          `${sheets[0]} has no dated walk with readings at rest: a trend needs taken_at, or walks ` +
            "named by their day",
        );
      const found = trend(pool, walks, work?.entries ?? [], tell);
      tell("", 0, 0);
      io.err(leftOutText(undated));
      io.err(dateWarnings(found.walks, work?.entries ?? []));
      io.out(
        options.json
          ? `${JSON.stringify(trendJson(found, undated, all), null, 2)}\n`
          : trendText(found),
      );
      const due = found.circuits.some(({ crossing, from }) => crossing.low <= from + found.rhythm);
      io.exit(due ? 1 : 0);
    });
};

/** Walks that have a place in time, and the names of those that have none. */
function dated(season: readonly DiagnosedWalk[]): {
  readonly walks: readonly DatedWalk[];
  readonly undated: readonly string[];
} {
  const walks: DatedWalk[] = [];
  const undated: string[] = [];
  for (const { day, ...walk } of season) {
    if (day === null) undated.push(walk.diagnosis.walk);
    else walks.push({ ...walk, day });
  }
  return { walks, undated };
}

/** Shows what is being done on one line that writes over itself; an empty word clears it. */
function teller(io: Io): (what: string, done: number, of: number) => void {
  let shown = "";
  return (what, done, of) => {
    if (!io.progress) return;
    const line = what === "" ? "" : `${what} ${Math.floor((100 * done) / Math.max(1, of))} %`;
    if (line === shown) return;
    io.err(`\r${line.padEnd(shown.length)}${line === "" ? "\r" : ""}`);
    shown = line;
  };
}
