import type { Pool } from "../domain/pool.ts";
import { roundCsv } from "../report/round-csv.ts";
import { roundSheet } from "../report/round-sheet.ts";
import { roundText } from "../report/round-text.ts";
import { planRound, type Round } from "../rooms/meet-room.ts";
import { type Register, UnusableInput } from "./command.ts";
import { dayOption } from "./deck-files.ts";
import { helpText } from "./help-text.ts";
import { localDay } from "./local-time.ts";
import { openPool, sayUsed, withPool } from "./pool-folder.ts";
import { writeFiles } from "./store/file-set.ts";

interface Options {
  readonly pool?: string;
  readonly out?: string;
  readonly date: string;
  readonly by: string;
  readonly meter?: string;
  readonly from: string;
  readonly json?: boolean;
}

const example = `
Example:
  $ dropwise round --date 2026-06-12 --by KM --out sheets
  writes sheets/round.html (print it, A4 or Letter) and sheets/round.csv (type the volts into it);
  afterwards: dropwise check sheets/round.csv
`;

/** `dropwise round`: the sheet for the walk. */
export const registerRound: Register = (program, io) => {
  withPool(program.command("round"))
    .description("A sheet for the walk: which points in which order, and what to expect there.")
    .option("--out <folder>", "write into this folder (round.html, round.csv)")
    .option("--date <day>", "for this day, YYYY-MM-DD", "today")
    .option("--by <who>", "by whom, a name or initials", "")
    .option("--meter <name>", "which of the pool's meters (default: the first)")
    .option("--from <lane>", "the timer stands beside the first or the last lane", "first")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (options: Options) => {
      const folder = await openPool(options.pool);
      const { pool } = folder;
      sayUsed(folder, io);
      const date = dayOption(options.date, localDay(new Date()));
      const { from } = options;
      if (from !== "first" && from !== "last")
        throw new UnusableInput(`--from is '${from}': one of first, last`);
      const round = planRound(pool, meterOf(pool, options.meter), from);
      const head = { date, by: options.by };
      if (options.out !== undefined)
        writeFiles(options.out, [
          { name: "round.html", content: roundSheet(round, head) },
          { name: "round.csv", content: roundCsv(round, head) },
        ]);
      if (options.json) io.out(`${JSON.stringify(jsonOf(round, date), null, 2)}\n`);
      else {
        io.out(roundText(round, head));
        if (options.out !== undefined)
          io.out(`\nWritten: ${options.out}/round.html and ${options.out}/round.csv\n`);
      }
    });
};

function meterOf(pool: Pool, name: string | undefined) {
  const meter = name === undefined ? pool.meters[0] : pool.meters.find((m) => m.name === name);
  if (meter === undefined)
    throw new UnusableInput(
      `--meter is '${name}': the pool file has ${pool.meters.map((m) => m.name).join(", ")}`,
    );
  return meter;
}

const jsonOf = (round: Round, date: string) => ({
  pool: round.pool,
  date,
  meter: round.meter.name,
  readings: round.readings,
  seconds: round.seconds,
  lanesWalked: round.lanesWalked,
  expected: round.expected,
  windows: round.windows,
});
