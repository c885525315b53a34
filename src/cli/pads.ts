import { readPads } from "../intake/read-pads.ts";
import { padsText } from "../report/pads-text.ts";
import { rejectsText } from "../report/rejects-text.ts";
import { meetSettings } from "../rooms/domain-room.ts";
import { padsDue } from "../rooms/meet-room.ts";
import type { Register } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { dayOption, used } from "./deck-files.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { localDay } from "./local-time.ts";
import { neededFile, openPool, sayUsed, withPool } from "./pool-folder.ts";
import { loadText } from "./sources.ts";

interface Options {
  readonly pool?: string;
  readonly date: string;
  readonly dates?: string;
  readonly json?: boolean;
}

const example = `
pads.csv: taken_at, water_c or water_f, and where a pad was adjusted strokes, lane, soaked_minutes.
The pool file's meet section says in which degrees the facility works and how many make pads due.

Example:
  $ dropwise pads --date 2026-06-12
`;

/** `dropwise pads`: whether the pads are due for readjustment. */
export const registerPads: Register = (program, io) => {
  withPool(program.command("pads"))
    .description("Whether the water has changed enough for the pads to be readjusted.")
    .argument("[file]", "the log of water and pump strokes (default: the pool's pads.csv)")
    .option("--date <day>", "for this day, YYYY-MM-DD", "today")
    .option("--dates <order>", datesHelp)
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (named: string | undefined, options: Options) => {
      const folder = await openPool(options.pool);
      const { pool } = folder;
      const file = await neededFile(folder, named, "pads.csv");
      sayUsed(folder, io);
      const sheet = used(
        readPads(await loadText(file, io.note), pool, file, { dates: dateOrder(options.dates) }),
      );
      const day = dayOption(options.date, localDay(new Date()));
      const due = padsDue(sheet.notes, meetSettings(pool).pads, day);
      if (options.json) {
        io.out(
          `${JSON.stringify({ pool: pool.name, ...due, rejected: sheet.rejected }, null, 2)}\n`,
        );
      } else io.out(padsText(pool.name, due));
      io.err(rejectsText(sheet.rejected));
      io.exit(exitStatus.pads(due));
    });
};
