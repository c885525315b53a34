import { learnJson } from "../report/learn-json.ts";
import { learnText } from "../report/learn-text.ts";
import type { Pool } from "../rooms/domain-room.ts";
import {
  LEAST_WALKS,
  learnRounds,
  type PoolProposal,
  rankingChanges,
} from "../rooms/learning-room.ts";
import {
  diagnosed,
  latestWalk,
  type Question,
  type SeasonProgress,
  type TimedWalk,
  walksOf,
} from "../rooms/season-room.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { helpText } from "./help-text.ts";
import { learningThreads } from "./learn-share.ts";
import { findSheets, type SeasonOptions, withSheetOptions } from "./season-options.ts";

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
  withSheetOptions(program.command("learn"))
    .description("Propose the pool file's own numbers by its walks; nothing is changed.")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (sheets: readonly string[], options: SeasonOptions & { json?: boolean }) => {
      const { pool, readings: all, work, progress } = await findSheets(sheets, options, io);
      const walks = walksOf(pool, all, work).slice(-MOST_WALKS);
      if (walks.length < LEAST_WALKS)
        throw new UnusableInput(
          `${walks.length} walks: a pool's numbers are learnt from ${LEAST_WALKS} walks on`,
        );
      const readings = latestWalk(walks)!.readings();
      const proposal = await proposalFor(pool, walks, io, progress);
      const now = diagnosed(pool, { readings }, true, null, io.keeper);
      const then = diagnosed(proposal.pool, { readings }, false, null, io.keeper);
      const changes = rankingChanges(now, then);
      io.out(
        options.json
          ? `${JSON.stringify(learnJson(pool.name, proposal, now.walk, changes), null, 2)}\n`
          : learnText(pool.name, proposal, now.walk, changes),
      );
    });
};

/** On all processors, unless it was found before. */
async function proposalFor(
  pool: Pool,
  walks: readonly TimedWalk[],
  { keeper }: Pick<Io, "keeper">,
  progress: SeasonProgress,
): Promise<PoolProposal> {
  const readings = walks.map((walk) => walk.readings());
  const question: Question = { what: "learnt", walk: null, from: [pool, readings] };
  const known = keeper.known<PoolProposal>(question);
  if (known !== undefined) return known;
  const threads = learningThreads(pool, readings);
  const proposal = await learnRounds(pool, walks.length, threads.tablesBy, (done, of) =>
    progress("learning", done, of),
  ).finally(threads.end);
  progress("", 0, 0);
  keeper.keep(question, proposal);
  return proposal;
}
