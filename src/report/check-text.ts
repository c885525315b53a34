import { limitVoltsOr0 } from "../circuit/limit.ts";
import type { ExplanationKind } from "../domain/explanation-kinds.ts";
import type { Explanation, MeterSight, WalkDiagnosis } from "../domain/findings.ts";
import { isMisfit } from "../domain/findings.ts";
import type { WalkStanding } from "../domain/margins.ts";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { cautionsFor, explanationCautions } from "./cautions.ts";
import { explanationWords } from "./explanation-words.ts";
import { informedLines } from "./informed-words.ts";
import { lastPointText, limitText } from "./limit-text.ts";
import { marginLines } from "./margins-text.ts";
import {
  circuitText,
  counted,
  deviceCell,
  explanationLabel,
  isWorthSaying,
  laneCell,
  leadFinding,
  ohmsText,
  percentText,
  voltsText,
} from "./names.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { SUSPECT, suspectLines } from "./suspects-text.ts";
import { paint, type Style, tableText } from "./text-table.ts";
import { unknownLoad } from "./unknown-load.ts";
import { againLines, verdictCounts, verdictWords } from "./verdict-words.ts";
import { prose, wrapped } from "./wrap-text.ts";

/** A connector that is this likely at fault is going to be opened. */
const TO_CLEAN = 0.5;

/** One walk with all that is said about it. */
export interface CheckedWalk {
  readonly diagnosis: WalkDiagnosis;
  readonly standing: WalkStanding;
  readonly readings: readonly Reading[];
}

/** What `check --details` prints of one walk: verdict, ranking, map, what stands against trusting it. */
export function checkText(pool: Pool, checked: CheckedWalk, colour: boolean): string {
  const { diagnosis: walk, standing, readings } = checked;
  const style: Style = { colour };
  const resting = readings.filter(isResting);
  const head = headLine(pool, walk, resting);
  return [
    ...wrapped(head).map((line) => paint(line, "bold", style)),
    ...misfitLines(walk).flatMap((line) => wrapped(line)),
    ...wrapped(leadFinding(walk.connectors)),
    "",
    ...prose(explanationLines(pool, walk, ({ probability }) => probability >= 0.5)),
    ...suspectLines(walk, style),
    ...mapLines(pool, walk, resting, style),
    ...prose([
      ...circuitLines(pool, walk, resting),
      ...marginLines(pool, standing.circuits),
      ...explanationLines(pool, walk, (one) => isWorthSaying(one) && one.probability < 0.5),
      ...againTextLines(walk),
      ...meterLines(pool, walk.meters),
      ...informedLines(walk),
      ...cautionLines(pool, walk),
    ]),
  ].join("\n");
}

/** Whose walk it is, and what was read in it. */
export const headLine = (pool: Pool, walk: WalkDiagnosis, resting: readonly Reading[]): string =>
  `${pool.name}, walk ${walk.walk}: ${counted(resting.length, "reading")} of ` +
  counted(walk.circuits.length, "circuit");

/** Where the readings do not fit: that first, with what would make them fit, and what to read again. */
export function misfitLines({ fit, explanations }: WalkDiagnosis): readonly string[] {
  if (!isMisfit(fit)) return [];
  const best = explanations.find(({ kind }) => wouldFit.has(kind));
  const what =
    best === undefined ? "something that this program does not know" : wouldFit.get(best.kind)!;
  const again = fit.worst.map((place) => `${circuitText(place)}, ${place.point}`).join("; ");
  return [
    `The readings do not fit together: nothing passes, and no probability here is over 95 %. What would make them fit: ${what}.`,
    ...(again === "" ? [] : [`Read again first: ${again}.`]),
  ];
}

/** What would make a walk fit, in a few words. */
const wouldFit: ReadonlyMap<ExplanationKind, string> = new Map([
  ["supply-steps", "a supply that stepped during the walk"],
  ["supply-drifts", "a supply that moved during the walk"],
  ["points-swapped", "two points swapped in the sheet"],
  ["rows-swapped", "two circuits' rows swapped"],
  ["crossed", "two circuits crossed"],
]);

/** Volts by lane and point. Weak values carry the word, so that colour is not needed. */
export function mapLines(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  style: Style,
): readonly string[] {
  const { points } = pool;
  const rows = walk.circuits.map((circuit) => [
    laneCell(circuit),
    deviceCell(circuit),
    ...points.map((point) => {
      const here = resting.filter((one) => sameCircuit(one, circuit) && one.point === point);
      return here.map((one) => cellText(pool, walk, one)).join(" ");
    }),
  ]);
  const table = tableText(
    ["lane", "device", ...points],
    rows.map((row) => row.map((cell) => cell || "·")),
    ["right", "left", ...points.map(() => "left" as const)],
  );
  return [
    paint("Volts by lane and point", "bold", style),
    ...table.map((line) =>
      line.replace(/\S+ (weak|open|again)/g, (all) => paint(all, "red", style)),
    ),
    "",
  ];
}

function cellText(pool: Pool, walk: WalkDiagnosis, reading: Reading): string {
  const { point, volts } = reading;
  const again = walk.readAgain.some(
    (one) => sameCircuit(one, reading) && one.point === point && one.shown?.line === reading.line,
  );
  const low = volts < limitVoltsOr0(pool);
  const word = again ? " again" : volts === 0 ? " open" : low ? " weak" : "";
  return `${volts.toFixed(2)}${word}`;
}

/** The verdicts: what is not sound by name, what is sound by its number. */
function circuitLines(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
): readonly string[] {
  if (walk.circuits.length === 0) return [];
  const limit = `limit ${limitText(pool)} at the ${lastPointText(pool)}`;
  const others = walk.circuits.filter(({ verdict }) => verdict !== "sound");
  if (others.length === 0) return [`Every circuit read is sound (${limit}).`, ""];
  const words = others.map(
    (circuit) => `  ${circuitText(circuit)}: ${verdictWords(pool, circuit, resting)}`,
  );
  return [`Circuits: ${verdictCounts(walk)} (${limit})`, ...words, ""];
}

/** Explanations other than the contacts: likely ones stand before the suspects, the rest behind. */
export function explanationLines(
  pool: Pool,
  walk: WalkDiagnosis,
  isAsked: (one: Explanation) => boolean,
): readonly string[] {
  const asked = walk.explanations.filter(isAsked);
  if (asked.length === 0) return [];
  const lines = asked.map((one) => {
    const { words, wouldTell } = explanationWords(one, walk, pool);
    const tell = wouldTell === null ? "" : ` To tell: ${wouldTell}`;
    return `${explanationLabel(one)} (${percentText(one.probability)}): ${words}${tell}`;
  });
  const cautions = explanationCautions(asked).map((one) => `  Caution: ${one.words}`);
  return [...lines, ...cautions, ""];
}

function againTextLines(walk: WalkDiagnosis): readonly string[] {
  const lines = againLines(walk).map(({ who, why, place }) => {
    const shown = place?.shown
      ? ` (line ${place.shown.line}, ${voltsText(place.shown.volts)})`
      : "";
    return `  ${who}${shown}: ${why}`;
  });
  return lines.length === 0 ? [] : ["Read again, in this order", ...lines, ""];
}

export function meterLines(
  { meters: known }: Pool,
  meters: readonly MeterSight[],
): readonly string[] {
  return meters.map(({ meter, detectionLimit, blind }) => {
    const load = known.find(({ name }) => name === meter)?.loadOhms ?? null;
    if (load === null) return `Meter ${meter}: ${unknownLoad}`;
    if (detectionLimit === null) return `Meter ${meter}: shows no contact resistance at all.`;
    const limit = `Meter ${meter}: shows a contact of ${ohmsText(detectionLimit)} or more`;
    if (!blind) return `${limit}.`;
    return `${limit}, and a path may be at its limit with less: none read with it can be called sound.`;
  });
}

function cautionLines(pool: Pool, walk: WalkDiagnosis): readonly string[] {
  const suspects = walk.connectors.filter(({ atFault }) => atFault >= SUSPECT);
  if (!suspects.some(({ atFault }) => atFault >= TO_CLEAN)) return [""];
  const lift = suspects.some((one) => mayLiftPad(pool, one)) ? (["lift-pads"] as const) : [];
  const words = cautionsFor("clean", ...lift).map((one) => `  ${one.words}`);
  return ["", "Before you clean", ...words, ""];
}
