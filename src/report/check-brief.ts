import { lastPoint } from "../domain/circuit.ts";
import {
  type CircuitFinding,
  type ConnectorFinding,
  type Failing,
  mayBeBroken,
  type WalkDiagnosis,
} from "../domain/findings.ts";
import { circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { briefCautions } from "./cautions.ts";
import {
  type CheckedWalk,
  explanationLines,
  headLine,
  mapLines,
  meterLines,
  misfitLines,
} from "./check-text.ts";
import { informedLines } from "./informed-words.ts";
import { lastPointText, limitText } from "./limit-text.ts";
import { missingLines } from "./margins-text.ts";
import {
  circuitText,
  connectorName,
  counted,
  isWorthSaying,
  leadFinding,
  percentText,
  suspectsToVisit,
  voltsText,
} from "./names.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { paint, type Style, tableText } from "./text-table.ts";
import { againLines, isAllSound, verdictWords } from "./verdict-words.ts";
import { COLUMNS, columnsOf, prose, wrapped } from "./wrap-text.ts";

/** So many rows of the map, or places of a list, are told; the rest is counted. */
const MOST = 12;

/** How a contact fails. What is then done `decide` says, by the season and by prices. */
const failings: Readonly<Record<Failing, string>> = {
  fouled: "fouled",
  open: "open",
  "comes-and-goes": "comes and goes",
  cable: "cable broken",
};

/** Where no current passes a break is looked for first, whatever the prices. */
const failsText = ({ fails, worst }: ConnectorFinding): string =>
  mayBeBroken(worst) ? "look for the break" : failings[fails[0]?.how ?? "fouled"];

/**
 * What `check` prints of one walk before anybody asks for details: the verdict, what to do, how sure
 * that is, and of the readings only what differs.
 */
export function checkBrief(pool: Pool, checked: CheckedWalk, colour: boolean): string {
  const { diagnosis: walk, standing, readings } = checked;
  const style: Style = { colour };
  const resting = readings.filter(isResting);
  const suspects = suspectsToVisit(walk.connectors);
  const lines = [
    ...wrapped(headLine(pool, walk, resting)).map((line) => paint(line, "bold", style)),
    ...misfitLines(walk).flatMap((line) => wrapped(line)),
    ...wrapped(verdictLine(pool, walk)),
    ...prose(missingLines(standing.circuits)),
    ...section(prose(explanationLines(pool, walk, isWorthSaying).filter((line) => line !== ""))),
    ...section(suspectRows(suspects)),
    ...section(circuitRows(pool, walk, resting)),
    ...section(differing(pool, walk, resting, style)),
    ...section(meterLines(pool, walk.meters).flatMap((line) => wrapped(line))),
    ...cautionLines(pool, suspects),
    ...informedLines(walk).flatMap((line) => wrapped(line)),
    ...(walk.circuits.length === 0
      ? []
      : ["--details: every reading, chance, margin and caution."]),
  ];
  return `${lines.join("\n")}\n`;
}

/** Lines with a blank one before them, where there are any. */
const section = (lines: readonly string[]): readonly string[] =>
  lines.length === 0 ? [] : ["", ...lines];

/** What it comes to: every suspect, or that all is sound, or what has to be read again first. */
function verdictLine(pool: Pool, walk: WalkDiagnosis): string {
  const limit = `${limitText(pool)} at the ${lastPointText(pool)}`;
  const isSound = walk.circuits.length > 0 && isAllSound(walk);
  const finding = leadFinding(walk.connectors);
  const hasSuspect = suspectsToVisit(walk.connectors).length > 0;
  if (isSound && !hasSuspect) return `Sound: every circuit read is over its limit (${limit}).`;
  return isSound ? `${finding}. No circuit is under its limit (${limit}) yet.` : finding;
}

/** Where to go, how it fails, what it takes and how sure that is. */
function suspectRows(suspects: readonly ConnectorFinding[]): readonly string[] {
  if (suspects.length === 0) return [];
  const rows = suspects.map((one) => [
    connectorName(one),
    failsText(one),
    voltsText(one.voltsLost),
    percentText(one.atFault),
  ]);
  const heads = ["go to", "there", "drops", "sure"];
  const table = tableText(heads, rows, ["left", "left", "right", "right"]);
  const isNarrow = table.every((line) => columnsOf(line) <= COLUMNS);
  const list = rows.map(
    ([where, act, drops, sure]) => `  ${where}: ${act}; ${drops}, ${sure} sure`,
  );
  const telling = suspects.flatMap((one) => {
    const wanted = one.wouldSeparate;
    if (wanted === null) return [];
    const others = one.inseparableFrom.join(" or the ");
    return [
      `  ${connectorName(one)} or the ${others}: read ${circuitText(wanted)} at the ${wanted.point} to tell.`,
    ];
  });
  const decides = suspects.every(({ worst }) => mayBeBroken(worst))
    ? []
    : ["To clean, to replace or to leave: decide weighs each by the season and by prices."];
  return [...(isNarrow ? table : prose(list)), ...prose([...telling, ...decides])];
}

/** Weak circuits on one line, and what to read again by its reason. */
function circuitRows(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
): readonly string[] {
  const weak = walk.circuits.filter(({ verdict }) => verdict === "weak");
  const words = weak.map((one) => {
    const said = verdictWords(pool, one, resting).replace(/^weak: |, limit .*$/g, "");
    return `${circuitText(one)} ${said}`;
  });
  const again = new Map<string, string[]>();
  for (const { who, why } of againLines(walk)) again.set(why, [...(again.get(why) ?? []), who]);
  const lines = [
    ...(words.length === 0 ? [] : [`Weak (limit ${limitText(pool)}): ${listed(words)}.`]),
    ...[...again].map(([why, who]) => `Read again: ${listed(who)}: ${why}.`),
  ];
  return prose(lines);
}

/** `a; b; c`, and how many more there are. */
function listed(words: readonly string[]): string {
  const more = words.length - MOST;
  return more > 0 ? `${words.slice(0, MOST).join("; ")}; and ${more} more` : words.join("; ");
}

/** The volts of what is not sound; the others by their lowest. */
function differing(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  style: Style,
): readonly string[] {
  const marked = walk.circuits.filter(({ verdict }) => verdict !== "sound");
  const told = marked.filter((one) => resting.some((reading) => sameCircuit(reading, one)));
  const sound = walk.circuits.filter(({ verdict }) => verdict === "sound");
  if (told.length === 0 || (sound.length === 0 && told.length > MOST)) return [];
  const more = told.length - MOST;
  const map = mapLines(pool, { ...walk, circuits: told.slice(0, MOST) }, resting, style);
  return [
    ...map.filter((line) => line !== ""),
    ...(more > 0 ? [`  and ${counted(more, "circuit")} more`] : []),
    ...otherLine(pool, sound, resting),
  ];
}

/** `The other 20 circuits are sound, 4.96 V or more at their last point.` */
function otherLine(
  pool: Pool,
  sound: readonly CircuitFinding[],
  resting: readonly Reading[],
): readonly string[] {
  const ends = sound.flatMap((circuit) => {
    const end = lastPoint(circuitOf(pool, circuit)!);
    const own = resting.filter((one) => one.point === end && sameCircuit(one, circuit));
    return own.map(({ volts }) => volts);
  });
  if (ends.length === 0) return [];
  const least = voltsText(Math.min(...ends));
  const others = sound.length === 1 ? "circuit is" : "circuits are";
  return [`  ${sound.length} other ${others} sound: ${least} or more at the last point.`];
}

/** Before anything is opened, in one sentence; `--details` and the log say each in full. */
function cautionLines(pool: Pool, suspects: readonly ConnectorFinding[]): readonly string[] {
  if (suspects.length === 0) return [];
  const lift = suspects.some((one) => mayLiftPad(pool, one)) ? (["lift-pads"] as const) : [];
  return wrapped(briefCautions("Before you open anything", "clean", ...lift));
}
