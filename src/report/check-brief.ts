import { lastPoint } from "../domain/circuit.ts";
import {
  type CircuitFinding,
  type ConnectorFinding,
  mayBeBroken,
  type WalkDiagnosis,
} from "../domain/findings.ts";
import { circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { type Language, wordsIn } from "../words/language.ts";
import type { Words } from "../words/words.ts";
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
import { mayLiftPad } from "./pad-lift.ts";
import { paint, type Style, tableText } from "./text-table.ts";
import { againLines, isAllSound, weakWords } from "./verdict-lines.ts";
import { isWorthSaying, leadLine, suspectsToVisit } from "./worth-saying.ts";
import { prose, wrapped } from "./wrap-text.ts";

/** So many rows of the map, or places of a list, are told; the rest is counted. */
const MOST = 12;

/**
 * What `check` prints of one walk before anybody asks for details: the verdict, what to do, how sure
 * that is, and of the readings only what differs.
 *
 * @param language what it is told in; names are the pool file's in every language
 */
export function checkBrief(
  pool: Pool,
  checked: CheckedWalk,
  colour: boolean,
  language: Language = "en",
): string {
  const words = wordsIn(language);
  const { diagnosis: walk, standing, readings } = checked;
  const style: Style = { colour };
  const resting = readings.filter(isResting);
  const suspects = suspectsToVisit(walk.connectors);
  const lines = [
    ...wrapped(headLine(pool, walk, resting, words)).map((line) => paint(line, "bold", style)),
    ...misfitLines(walk, words).flatMap((line) => wrapped(line)),
    ...wrapped(verdictLine(pool, walk, words)),
    ...prose(missingLines(standing.circuits, words)),
    ...section(prose(rivalLines(pool, walk, words))),
    ...section(suspectRows(suspects, words)),
    ...section(circuitRows(pool, walk, resting, words)),
    ...section(differing(pool, walk, resting, style, words)),
    ...section(prose(meterLines(pool, walk.meters, words))),
    ...cautionLines(pool, suspects, words),
    ...prose(informedLines(walk, words)),
    ...(walk.circuits.length === 0 ? [] : [words.check.details]),
  ];
  return `${lines.join("\n")}\n`;
}

/** Lines with a blank one before them, where there are any. */
const section = (lines: readonly string[]): readonly string[] =>
  lines.length === 0 ? [] : ["", ...lines];

/** What else may explain the readings. */
const rivalLines = (pool: Pool, walk: WalkDiagnosis, words: Words): readonly string[] =>
  explanationLines(pool, walk, isWorthSaying, words).filter((line) => line !== "");

/** What it comes to: every suspect, or that all is sound, or what has to be read again first. */
function verdictLine(pool: Pool, walk: WalkDiagnosis, words: Words): string {
  const { check, figures, places } = words;
  const [limit, where] = [limitText(pool, figures), lastPointText(pool, places)];
  const isSound = walk.circuits.length > 0 && isAllSound(walk);
  const finding = leadLine(walk, words);
  if (!isSound) return finding;
  const hasSuspect = suspectsToVisit(walk.connectors).length > 0;
  return hasSuspect ? check.notYet(finding, limit, where) : check.sound(limit, where);
}

/** Where to go, how it fails, what it takes and how sure that is. */
function suspectRows(
  suspects: readonly ConnectorFinding[],
  { suspects: say, figures, places }: Words,
): readonly string[] {
  if (suspects.length === 0) return [];
  const rows = suspects.map((one) => [
    places.connector(one),
    mayBeBroken(one.worst) ? say.look : say.ways[one.fails[0]?.how ?? "fouled"],
    figures.volts(one.voltsLost),
    figures.percent(one.atFault),
  ]);
  const align = ["left", "left", "right", "right"] as const;
  const table = tableText(say.actHeads, rows, align, ([where, act, drops, sure]) =>
    say.actLine(where!, act!, drops!, sure!),
  );
  const telling = suspects.flatMap((one) =>
    one.wouldSeparate === null ? [] : [`  ${say.toTell(one, one.wouldSeparate)}`],
  );
  const decides = suspects.every(({ worst }) => mayBeBroken(worst)) ? [] : [say.decides];
  return [...table, ...prose([...telling, ...decides])];
}

/** Weak circuits on one line, and what to read again by its reason. */
function circuitRows(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  words: Words,
): readonly string[] {
  const { check, figures, places } = words;
  const weak = walk.circuits.flatMap((one) =>
    one.verdict === "weak"
      ? [`${places.circuit(one)} ${weakWords(pool, one, resting, words)}`]
      : [],
  );
  const again = new Map<string, string[]>();
  for (const { who, why } of againLines(walk, words))
    again.set(why, [...(again.get(why) ?? []), who]);
  const limit = limitText(pool, figures);
  return prose([
    ...(weak.length === 0 ? [] : [check.weak(limit, listed(weak, words))]),
    ...[...again].map(([why, who]) => check.again(listed(who, words), why)),
  ]);
}

/** `a; b; c`, and how many more there are. */
function listed(told: readonly string[], { check }: Words): string {
  const more = told.length - MOST;
  return more > 0 ? `${told.slice(0, MOST).join("; ")}; ${check.andMore(more)}` : told.join("; ");
}

/** The volts of what is not sound; the others by their lowest. */
function differing(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  style: Style,
  words: Words,
): readonly string[] {
  const marked = walk.circuits.filter(({ verdict }) => verdict !== "sound");
  const told = marked.filter((one) => resting.some((reading) => sameCircuit(reading, one)));
  const sound = walk.circuits.filter(({ verdict }) => verdict === "sound");
  if (told.length === 0 || (sound.length === 0 && told.length > MOST)) return [];
  const more = told.length - MOST;
  const map = mapLines(pool, { ...walk, circuits: told.slice(0, MOST) }, resting, style, words);
  return [
    ...map.filter((line) => line !== ""),
    ...(more > 0 ? [`  ${words.check.andMoreCircuits(more)}`] : []),
    ...otherLine(pool, sound, resting, words),
  ];
}

/** `The other 20 circuits are sound, 4.96 V or more at their last point.` */
function otherLine(
  pool: Pool,
  sound: readonly CircuitFinding[],
  resting: readonly Reading[],
  { check, figures }: Words,
): readonly string[] {
  const ends = sound.flatMap((circuit) => {
    const end = lastPoint(circuitOf(pool, circuit)!);
    const own = resting.filter((one) => one.point === end && sameCircuit(one, circuit));
    return own.map(({ volts }) => volts);
  });
  if (ends.length === 0) return [];
  return [`  ${check.othersSound(sound.length, figures.volts(Math.min(...ends)))}`];
}

/** Before anything is opened, in one sentence; `--details` and the log say each in full. */
function cautionLines(
  pool: Pool,
  suspects: readonly ConnectorFinding[],
  { cautions }: Words,
): readonly string[] {
  if (suspects.length === 0) return [];
  const lift = suspects.some((one) => mayLiftPad(pool, one)) ? (["lift-pads"] as const) : [];
  return wrapped(briefCautions(cautions, "opening", "clean", ...lift));
}
