import type { Pool } from "../domain/pool.ts";
import { readPool } from "../intake/pool/read-pool.ts";
import { readMeterSheet } from "../intake/read-meter-sheet.ts";
import { takeCare } from "../report/cautions.ts";
import { meterFault, meterText, verdict } from "../report/meter-text.ts";
import { rejectsText } from "../report/rejects-text.ts";
import { ohms, volts } from "../rooms/domain-room.ts";
import type { MeterSheet } from "../rooms/intake-room.ts";
import { type MeterStudy, studyMeter } from "../rooms/meter-room.ts";
import { type Io, type Register, UnusableInput } from "./command.ts";
import { used } from "./deck-files.ts";
import { exitStatus } from "./exit-status.ts";
import { helpText } from "./help-text.ts";
import { findPoolFile, openPool, sayUsed, withPool } from "./pool-folder.ts";
import { loadText } from "./sources.ts";

interface Options {
  readonly pool?: string;
  readonly load?: string;
  readonly sourceOhms: string;
  readonly step?: string;
  readonly confidence: string;
  readonly json?: boolean;
}

const example = `
Two kinds of sheet. Readings of one steady 5 V source, each behind a known series resistor (three
or more; 0 to 1000 ohm suits most meters), give the meter's load, its noise, and the smallest
contact that it can show:

   ohms,volts
   0,5.00
   100,4.55

Several people's readings of the same points, each twice or more, say how far one person's readings
differ, and how far those of different people; --load adds the smallest contact in ohms:

   point,by,volts
   pod 3,KM,4.85
   pod 3,RB,4.86

Examples:
  $ dropwise meter resistors.csv
  $ dropwise meter people.csv --load 1000 --json

Read the resistors at a bench, on a supply that limits its current, and know their tolerance.
${takeCare("measure")}

Exit status: 0 the meter shows what a sound path must show, 1 it is blind, 2 unusable input.
`;

/** `dropwise meter`: what this meter can show. */
export const registerMeter: Register = (program, io) => {
  withPool(program.command("meter <file>"))
    .description("Know your meter: its load and noise, and the smallest contact that it can show.")
    .option(
      "--load <ohms>",
      "what the meter puts across the line (where the sheet has no resistors)",
    )
    .option("--source-ohms <ohms>", "source resistance of the supply that was read", "0")
    .option("--step <volts>", "display step (default: the finest step in the sheet)")
    .option("--confidence <share>", "how sure to be (of showing a contact)", "0.95")
    .option("--json", "print the answer as JSON")
    .addHelpText("after", helpText(example))
    .action(async (file: string, options: Options) => {
      const sheet = used(readMeterSheet(await loadText(file, io.note), file));
      if (sheet.rejected.length > 0) io.err(rejectsText(sheet.rejected));
      const pool = await pathOf(options.pool, io);
      const { study, step } = studied(sheet, file, pool, options);
      const resistors = resistorRows(sheet);
      io.out(
        options.json
          ? `${JSON.stringify(jsonOf(study, sheet, file, step), null, 2)}\n`
          : meterText(study, resistors, step),
      );
      io.exit(exitStatus.meter(study));
    });
};

const resistorRows = (sheet: MeterSheet) => sheet.rows.filter((row) => row.ohms !== null);

function studied(sheet: MeterSheet, file: string, pool: Pool, options: Options) {
  const number = (name: string, text: string, least: number, most: number): number => {
    const value = Number(text);
    if (text.trim() !== "" && value >= least && value <= most) return value;
    throw new UnusableInput(`--${name} is '${text}': a number from ${least} to ${most}`);
  };
  const step = volts(options.step ? number("step", options.step, 0, 10) : sheet.step);
  const confidence = number("confidence", options.confidence, 0.5, 0.9999);
  const resistors = resistorRows(sheet);
  const study = studyMeter({
    resistors: resistors.map((row) => ({ ohms: ohms(row.ohms ?? 0), volts: row.volts })),
    repeats: sheet.rows.flatMap(({ point, by, volts }) => (by ? [{ point, by, volts }] : [])),
    step,
    sourceOhms: ohms(number("source-ohms", options.sourceOhms, 0, 1e6)),
    loadOhms: options.load ? ohms(number("load", options.load, 1, 1e12)) : null,
    pool,
    risks: { falseAlarm: 0.05, miss: 1 - confidence },
  });
  if (study.ok) return { study: study.value, step };
  const lineOf = (index: number) => resistors[index]?.line ?? 0;
  throw new UnusableInput(`${file} ${meterFault(study.error, lineOf)}`);
}

/** The pool whose path the meter is judged on: the one that is found, else the default path. */
async function pathOf(named: string | undefined, io: Io): Promise<Pool> {
  if ((await findPoolFile(named)) === null) return defaultPool();
  const folder = await openPool(named);
  sayUsed(folder, io);
  return folder.pool;
}

/** A pool file that says nothing but what it must: its path is the default path. */
const defaultPool = (): Pool =>
  used(readPool("pool: default\nlanes: 1\ndevices: [touchpad]\n", "the default pool"));

/** Numbers without bound are null, as JSON has no infinity. */
function jsonOf(study: MeterStudy, sheet: MeterSheet, file: string, step: number) {
  const { likely, best, worst, risks } = study.sight;
  const resistors = resistorRows(sheet);
  return {
    file,
    step,
    calibration: study.calibration && {
      ...study.calibration,
      interval: 0.9,
      residuals: study.calibration.residuals.map((residual, i) => ({
        line: resistors[i]?.line,
        ohms: resistors[i]?.ohms,
        volts: resistors[i]?.volts,
        residual,
      })),
      strays: study.calibration.strays.map((i) => resistors[i]?.line),
    },
    gauge: study.gauge,
    detection: {
      unit: likely.unit,
      contact: likely.contact,
      low: best.contact,
      high: worst.contact,
      thresholdVolts: likely.thresholdVolts,
      mustShow: likely.mustShow,
      blind: likely.blind,
      confidence: 1 - risks.miss,
      falseAlarm: risks.falseAlarm,
    },
    verdict: verdict(study.sight).join(" "),
    rejected: sheet.rejected,
  };
}
