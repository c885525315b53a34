import { decideJson } from "../report/decide-json.ts";
import { decideText } from "../report/decide-text.ts";
import { unjudgedWords } from "../report/unjudged.ts";
import { decideSeason } from "../rooms/policy-room.ts";
import { wordsIn } from "../words/language.ts";
import type { Io, Register } from "./command.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { findSeason, type SeasonOptions, withSeasonOptions } from "./season-options.ts";

const example = `
Decides on the suspects of the latest walk. Earlier walks and the work log say how fast each contact
gets worse and how often cleaning has cured it; without them, defaults stand in. Prices, labour,
discount rate, horizon and the cost of a lost lane come from the pool file's section costs.

Example:
  $ dropwise decide
  for each suspect: leave, clean, replace now or later, what each costs, and where the choice turns;
  exit status 0 where nothing is a suspect, 1 where something is or where the walk cannot be judged,
  2 for input that can't be used.
`;

/** `dropwise decide`: clean or replace. */
export const registerDecide: Register = (program, io) => {
  withSeasonOptions(program.command("decide"))
    .description("Clean or replace: what each suspect's courses cost, and which is best.")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action((sheets: readonly string[], options: SeasonOptions & { json?: boolean }) =>
      decideOn(sheets, options, io),
    );
};

async function decideOn(
  sheets: readonly string[],
  options: SeasonOptions & { json?: boolean },
  io: Io,
): Promise<void> {
  const { pool, rejects, season, progress } = await findSeason(sheets, options, io);
  const said = decideSeason(season, progress);
  const { decisions, readAgain } = said;
  progress("", 0, 0);
  const { diagnosis, readings: own } = season.latest;
  const { informedBy } = diagnosis;
  const unjudged = unjudgedWords(diagnosis, own, wordsIn(io.language));
  io.out(
    options.json
      ? decideJson(pool, diagnosis.walk, decisions, rejects, readAgain, informedBy)
      : decideText(pool, diagnosis.walk, decisions, {
          unjudged,
          again: readAgain,
          informedBy,
          language: io.language,
        }),
  );
  io.exit(exitStatus.decide(said, unjudged === null));
}
