import type { Estimate } from "../domain/findings.ts";
import type { MeterRow } from "../intake/read-meter-sheet.ts";
import type { Calibration, CalibrationFault } from "../meter/calibrate.ts";
import type { GaugeFault, GaugeStudy } from "../meter/gauge-study.ts";
import type { StudiedSight } from "../meter/meter-sight.ts";
import type { MeterStudy } from "../meter/study-meter.ts";
import { textOf } from "./wrap-text.ts";

type Limit = StudiedSight["likely"];

/** The study of a meter for a terminal: verdict first, then what it rests on. */
export function meterText(study: MeterStudy, resistors: readonly MeterRow[], step: number): string {
  const { calibration, gauge, sight } = study;
  const lines = [
    ...verdict(sight),
    ...(calibration ? ["", ...calibrationLines(calibration, resistors, step)] : []),
    ...(gauge ? ["", ...gaugeLines(gauge)] : []),
  ];
  return textOf(lines);
}

/** What the meter can show, in one or two sentences. */
export function verdict({ likely, best, worst, risks }: StudiedSight): string[] {
  const sure = `${percent(1 - risks.miss)} sure`;
  if (likely.unit === "meter load") {
    return [
      `This meter shows a contact of ${size(likely)} or more (${sure}; ${between(best, worst)}).`,
      "Its load is not known, so nobody can say how many ohms that is: read it behind known " +
        "resistors, or give --load.",
    ];
  }
  const needed = `to call a path sound it must show one of ${figure(likely.mustShow)} ohm`;
  if (likely.contact === null && !best.blind) {
    return [
      "These readings do not tell whether this meter shows contact resistance: at best a contact " +
        `of ${size(best)}, at worst an open path only; ${needed}.`,
    ];
  }
  if (likely.contact === null) {
    return [
      `This meter is blind on this path: it shows no contact resistance, only an open path; ${needed}.`,
      noSoundPath,
    ];
  }
  const shows = `shows a contact of ${size(likely)} or more (${sure}; ${between(best, worst)})`;
  if (likely.blind)
    return [`This meter is blind on this path: it ${shows}; ${needed}.`, noSoundPath];
  const unsure = "At worst it is blind on this path: take more readings before you trust it.";
  return [`This meter ${shows}; ${needed}.`, ...(worst.blind ? [unsure] : [])];
}

const noSoundPath =
  "Call no path sound on it: use a meter that draws more current, or shows more digits.";

function calibrationLines(
  { loadOhms, emf, noise, readings, strays, residuals }: Calibration,
  resistors: readonly MeterRow[],
  step: number,
): string[] {
  const load = Number.isFinite(loadOhms.median) ? loadOhms.median : null;
  const drawsNothing =
    "The readings do not show that the meter draws any current: its load is at least " +
    `${figure(loadOhms.low)} ohm. Larger resistors would tell.`;
  const entry =
    load === null || !Number.isFinite(loadOhms.high)
      ? "load_ohms: unknown"
      : `load_ohms: ${figure(load, 4)}`;
  // Nothing to be seen of it behind the display's steps is no noise of 0: the pool file's own stands.
  const noiseEntry = noise.median > 0 ? `, noise: ${figure(noise.median)}` : "";
  return [
    `From ${readings} readings behind known resistors (90 % intervals):`,
    `  load    ${withInterval(loadOhms, "ohm", 4)}`,
    `  supply  ${withInterval(emf, "V", 4)}`,
    `  noise   ${withInterval(noise, "V")} (one reading, before rounding to ${figure(step)} V)`,
    ...(Number.isFinite(loadOhms.high) ? [] : [drawsNothing]),
    ...strays.map((index) => strayLine(resistors[index]!, residuals[index]!)),
    "The intervals leave out the tolerance of the resistors themselves.",
    `For the pool file: { name: deck, ${entry}, resolution: ${figure(step)}${noiseEntry} }`,
  ];
}

const strayLine = ({ line, ohms, volts }: MeterRow, off: number): string =>
  `Line ${line} (${figure(ohms ?? 0)} ohm, ${volts} V) does not belong: ${figure(Math.abs(off))} V ` +
  `${off < 0 ? "under" : "over"} the others. Check it, take it again.`;

function gaugeLines(gauge: GaugeStudy): string[] {
  const { points, people, repeats, repeatability, reproducibility } = gauge;
  const interaction =
    gauge.interactionP < 0.05
      ? "Some people differ from the others on particular points only: do they hold the leads alike?"
      : "No sign that anybody differs from the others on particular points only";
  return [
    `From ${people} people on ${points} points, ${repeats} readings each (analysis of variance):`,
    `  repeatability    ${withInterval(repeatability, "V")} (one person, again)`,
    `  reproducibility  ${figure(reproducibility)} V (between people)`,
    `  both             ${figure(gauge.gauge)} V, ${percent(gauge.shareOfSpread)} of the whole spread`,
    "Nineteen times in twenty, two readings of one point differ by less than " +
      `${figure(gauge.repeatabilityLimit)} V by one person, ${figure(gauge.reproducibilityLimit)} V by two.`,
    `${interaction} (P ${figure(gauge.interactionP)}).`,
    Number.isFinite(gauge.distinctCategories)
      ? `The readings tell ${gauge.distinctCategories} groups of points apart (5 or more is good).`
      : "The readings do not scatter at all: is the display fine enough?",
  ];
}

/** Why a sheet could not be studied, in one sentence. `lineOf` names the row of a reading. */
export function meterFault(
  wrong: CalibrationFault | GaugeFault,
  lineOf: (index: number) => number,
): string {
  switch (wrong.kind) {
    case "too-few-readings":
      return `has ${wrong.found} usable readings behind resistors; a calibration needs at least 3`;
    case "one-resistor-only":
      return `has one resistor only (${figure(wrong.ohms)} ohm); a calibration needs at least two`;
    case "dead-reading":
      return `line ${lineOf(wrong.index)} reads ${wrong.volts} V, which says nothing about a load`;
    case "rising":
      return "has readings that rise with the resistor, which no meter does: are rows mixed up?";
    case "too-small":
      return `has ${wrong.points} points and ${wrong.people} people; a study needs two of each`;
    case "no-repeats":
      return "has every point read once by each person; a study needs it read twice or more";
    case "unbalanced":
      return (
        `has ${wrong.found} readings of '${wrong.point}' by '${wrong.by}' and ${wrong.expected} ` +
        "elsewhere; everybody must read every point as often"
      );
  }
}

/** A number to three digits, or as many as given, without a power of ten. */
function figure(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return "no upper bound";
  const rounded = Number(value.toPrecision(digits));
  return rounded !== 0 && Math.abs(rounded) < 1e-6 ? rounded.toExponential() : `${rounded}`;
}

const percent = (share: number): string => `${Number((100 * share).toPrecision(3))} %`;

const withInterval = ({ median, low, high }: Estimate, unit: string, digits = 3): string =>
  `${figure(median, digits)} ${unit} (${figure(low, digits)} to ${figure(high, digits)})`;

function size({ contact, unit }: Limit): string {
  if (contact === null) return "open path only";
  return unit === "ohm" ? `${figure(contact, 2)} ohm` : `${figure(contact, 2)} times its load`;
}

const between = (best: Limit, worst: Limit): string =>
  `at best ${size(best)}, at worst ${size(worst)}`;
