import { trendJson } from "../report/trend-json.ts";
import { trendText } from "../report/trend-text.ts";
import { assumedLoadOhms, assumedLoadTrendNote } from "../report/unknown-load.ts";
import { type Register, UnusableInput } from "./command.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { findSeason, type SeasonOptions, withSeasonOptions } from "./season-options.ts";

const example = `
Example:
  $ dropwise trend
  names the circuits that will reach the facility's limit first, and when (median, 80 % interval);
  exit status 1 where a path is at its limit or will be before the next look.
`;

/** `dropwise trend`: what is getting worse. */
export const registerTrend: Register = (program, io) => {
  withSeasonOptions(program.command("trend"))
    .description("What is getting worse: growth, the day each path reaches its limit, cleanings.")
    .option("--json", "print the answer as JSON (every observation included)")
    .addHelpText("after", helpText(example))
    .action(async (sheets: readonly string[], options: SeasonOptions & { json?: boolean }) => {
      const { season, rejects } = await findSeason(sheets, options, io);
      const { pool, trend: found, latest, undated } = season;
      if (found === null)
        throw new UnusableInput(
          "no dated walk with readings at rest: a trend needs taken_at, or walks named by their day",
        );
      const { walk } = latest.diagnosis;
      io.out(
        options.json
          ? `${JSON.stringify(trendJson(found, walk, undated, rejects, assumedLoadOhms(pool)), null, 2)}\n`
          : trendText(found, assumedLoadTrendNote(pool)),
      );
      io.exit(exitStatus.trend(found));
    });
};
