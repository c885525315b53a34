import { learnJson } from "../report/learn-json.ts";
import { learnText } from "../report/learn-text.ts";
import { diagnose } from "../rooms/diagnosis-room.ts";
import { LEAST_WALKS, learnPool, rankingChanges } from "../rooms/learning-room.ts";
import { type Register, UnusableInput } from "./command.ts";
import { helpText } from "./help-text.ts";
import { findSeason, type SeasonOptions, withSeasonOptions } from "./season-options.ts";

const example = `
Example:
  $ dropwise learn
  proposes contaminated, fouled, misread, noise and contact medians by the pool's own walks, each
  with its 90 % interval, and says what the latest walk would then show. Nothing is changed.
`;

/** The latest walks say most of what a pool is like now; more would only take longer. */
const MOST_WALKS = 26;

/** `dropwise learn`: the pool file's own numbers, by its walks. */
export const registerLearn: Register = (program, io) => {
  withSeasonOptions(program.command("learn"))
    .description("Propose the pool file's own numbers by its walks; nothing is changed.")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (sheets: readonly string[], options: SeasonOptions & { json?: boolean }) => {
      const { pool, season, progress } = await findSeason(sheets, options, io);
      const walks = season.walks.slice(-MOST_WALKS);
      if (walks.length < LEAST_WALKS)
        throw new UnusableInput(
          `${walks.length} walks: a pool's numbers are learnt from ${LEAST_WALKS} walks on`,
        );
      const proposal = learnPool(
        pool,
        walks.length,
        (changed) =>
          walks.reduce(
            (sum, { readings }) => sum + diagnose(changed, readings, false).logEvidence,
            0,
          ),
        (done, of) => progress("learning", done, of),
      );
      const { diagnosis, readings } = season.latest;
      const changes = rankingChanges(diagnosis, diagnose(proposal.pool, readings, false));
      io.out(
        options.json
          ? `${JSON.stringify(learnJson(pool.name, proposal, diagnosis.walk, changes), null, 2)}\n`
          : learnText(pool.name, proposal, diagnosis.walk, changes),
      );
    });
};
