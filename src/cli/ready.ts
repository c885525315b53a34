import { readPads } from "../intake/read-pads.ts";
import { readParts } from "../intake/read-parts.ts";
import { readTouches } from "../intake/read-touches.ts";
import { morningOf } from "../report/morning.ts";
import { readyJson } from "../report/ready-json.ts";
import { readyText } from "../report/ready-text.ts";
import { rejectsText } from "../report/rejects-text.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { dayOption, used } from "./deck-files.ts";
import { loadLooks } from "./deck-looks.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { localDay } from "./local-time.ts";
import {
  neededSheets,
  openPool,
  type PoolFolder,
  sayUsed,
  usualFile,
  withPool,
} from "./pool-folder.ts";
import { aloneHelp, workOf } from "./season-files.ts";
import { loadText } from "./sources.ts";

interface Options {
  readonly pool?: string;
  readonly date: string;
  readonly work?: string;
  readonly touches?: string;
  readonly pads?: string;
  readonly parts?: string;
  readonly minutesLeft?: string;
  readonly dates?: string;
  readonly json?: boolean;
  readonly alone?: boolean;
}

const example = `
Example:
  $ dropwise ready --date 2026-06-13 --minutes-left 45
  lane by lane ready, watch or not ready; what to put right in 45 minutes; what to carry

Exit status: 0 every lane ready, 1 some lane is not, 2 input that could not be used.
`;

/** `dropwise ready`: the morning of a meet. */
export const registerReady: Register = (program, io) => {
  withPool(program.command("ready"))
    .description("The morning of a meet: which lanes are ready, what to put right, what to carry.")
    .argument("[readings...]", "sheets of readings (default: the pool's own)")
    .option("--date <day>", "for this day, YYYY-MM-DD", "today")
    .option("--work <file>", "the work log (default: the pool's work.csv, if there)")
    .option("--touches <file>", "touch checks (default: the pool's touches.csv, if there)")
    .option("--pads <file>", "the log of water and pump strokes (default: pads.csv, if there)")
    .option("--parts <file>", "the register of parts (default: the pool's parts.csv, if there)")
    .option("--minutes-left <n>", "minutes left to put things right")
    .option("--dates <order>", datesHelp)
    .option("--alone", aloneHelp)
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (sheets: readonly string[], options: Options) => {
      const folder = await openPool(options.pool);
      const { pool } = folder;
      const date = dayOption(options.date, localDay(new Date()));
      const files = await neededSheets(folder, sheets);
      const dates = dateOrder(options.dates);
      const minutesLeft = minutesOf(options.minutesLeft);
      const touches = await optional(folder, options.touches, "touches.csv", io, (text, file) =>
        used(readTouches(text, pool, file, { dates })),
      );
      const pads = await optional(folder, options.pads, "pads.csv", io, (text, file) =>
        used(readPads(text, pool, file, { dates })),
      );
      const parts = await optional(folder, options.parts, "parts.csv", io, (text, file) =>
        used(readParts(text, file, { dates })),
      );
      const work = await workOf(folder, options.work, dates, io);
      sayUsed(folder, io);
      const { season, rejected } = await loadLooks(
        pool,
        files,
        date,
        work.entries,
        dates,
        options.alone ?? false,
        io,
      );
      const { ready } = morningOf(season, {
        ...{ pool, date, minutesLeft, work: work.entries },
        touches: touches?.touches ?? null,
        pads: pads?.notes ?? null,
      });
      const unused = [
        ...rejected,
        ...work.rejected,
        ...(touches?.rejected ?? []),
        ...(pads?.rejected ?? []),
        ...(parts?.rejected ?? []),
      ];
      if (options.json) io.out(readyJson(ready, unused));
      else io.out(readyText(ready, parts?.parts ?? [], io.language));
      io.err(rejectsText(unused, io.language));
      io.exit(exitStatus.ready(ready));
    });
};

/** A file that the user named must be there; one by its usual name may be. */
async function optional<T>(
  folder: PoolFolder,
  named: string | undefined,
  usual: string,
  { note }: Io,
  read: (text: string, file: string) => T,
): Promise<T | null> {
  const file = await usualFile(folder, named, usual);
  return file === null ? null : read(await loadText(file, note), file);
}

function minutesOf(text: string | undefined): number | null {
  if (text === undefined) return null;
  const minutes = Number(text);
  if (!(text.trim() !== "" && minutes >= 0 && minutes <= 100_000))
    throw new UnusableInput(`--minutes-left is '${text}': a number of minutes, 0 or more`);
  return minutes;
}
