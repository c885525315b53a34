import type { Pool } from "../domain/pool.ts";
import { readTouches } from "../intake/read-touches.ts";
import { rejectsText } from "../report/rejects-text.ts";
import { touchesText } from "../report/touches-text.ts";
import { meetSettings } from "../rooms/domain-room.ts";
import { pressedDevices } from "../rooms/meet-room.ts";
import { type Register, UnusableInput } from "./command.ts";
import { dateOrder, datesHelp } from "./date-order.ts";
import { used } from "./deck-files.ts";
import { loadLooks } from "./deck-looks.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { neededFile, openPool, sayUsed, sheetsOf, withPool } from "./pool-folder.ts";
import { workOf } from "./season-files.ts";
import { loadText } from "./sources.ts";

interface Options {
  readonly pool?: string;
  readonly readings?: readonly string[];
  readonly confidence?: string;
  readonly tolerated?: string;
  readonly prior?: readonly string[];
  readonly dates?: string;
  readonly json?: boolean;
}

const example = `
touches.csv: lane, device, kind (fingertip or open-hand), tried, registered; optional
taken_at, heat, place (left, middle, right, high, low), by. What registered in an earlier heat
excuses no miss of a later one; misses at one place alone are the pad's.

Example:
  $ dropwise touches
  how often each pad misses, whose fault that is, and how many more presses prove it
`;

/** `dropwise touches`: what the presses say. */
export const registerTouches: Register = (program, io) => {
  withPool(program.command("touches"))
    .description("Missed and false touches: how often, whose fault, and how many presses more.")
    .argument("[file]", "the sheet of touch checks (default: the pool's touches.csv)")
    .option(
      "--readings <files...>",
      "sheets of readings (to tell the path's fault from the pad's; default: the pool's own)",
    )
    .option("--confidence <share>", "how sure to be (of a pad; default: the pool file's)")
    .option(
      "--tolerated <share>",
      "rate of missed touches that is let pass (default: the pool file's)",
    )
    .option("--prior <shapes...>", "two beta shapes of a rate (default: the pool file's)")
    .option("--dates <order>", datesHelp)
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (named: string | undefined, options: Options) => {
      const folder = await openPool(options.pool);
      const pool = withOptions(folder.pool, options);
      const file = await neededFile(folder, named, "touches.csv");
      const dates = dateOrder(options.dates);
      const sheet = used(readTouches(await loadText(file, io.note), pool, file, { dates }));
      const files = await sheetsOf(folder, options.readings ?? []);
      const work = await workOf(folder, undefined, dates, io);
      sayUsed(folder, io);
      const { looks, rejected } =
        files.length > 0
          ? await loadLooks(pool, files, null, work.entries, dates, false, io)
          : { looks: [], rejected: [] };
      const devices = pressedDevices(pool, sheet.touches, looks);
      const unused = [...sheet.rejected, ...rejected, ...work.rejected];
      const settings = meetSettings(pool);
      if (options.json) {
        const answer = { pool: pool.name, touch: settings.touch, devices, rejected: unused };
        io.out(`${JSON.stringify(answer, null, 2)}\n`);
      } else io.out(touchesText(pool.name, devices, settings, files.length > 0));
      io.err(rejectsText(unused));
      io.exit(exitStatus.touches(devices));
    });
};

/** The pool with what the command line says about touches in place of its own. */
function withOptions(pool: Pool, { confidence, tolerated, prior }: Options): Pool {
  const settings = meetSettings(pool);
  const { touch } = settings;
  return {
    ...pool,
    meet: {
      ...settings,
      touch: {
        ...touch,
        confidence: share("--confidence", confidence, touch.confidence),
        toleratedMissed: share("--tolerated", tolerated, touch.toleratedMissed),
        prior: prior === undefined ? touch.prior : shapes(prior),
      },
    },
  };
}

function share(option: string, text: string | undefined, standard: number): number {
  if (text === undefined) return standard;
  const value = Number(text);
  if (!(value >= 0.001 && value <= 0.999))
    throw new UnusableInput(`${option} is '${text}': a probability from 0.001 to 0.999`);
  return value;
}

function shapes(texts: readonly string[]): readonly [number, number] {
  const [a, b] = [Number(texts[0]), Number(texts[1])];
  if (texts.length !== 2 || !(a > 0 && a <= 1e4 && b > 0 && b <= 1e4))
    throw new UnusableInput(
      `--prior is '${texts.join(" ")}': two numbers above 0, at most 10000, such as 0.5 0.5`,
    );
  return [a, b];
}
