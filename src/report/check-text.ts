import { limitVoltsOr0 } from "../circuit/limit.ts";
import { isRival } from "../domain/explanation-kinds.ts";
import type { Explanation, MeterSight, WalkDiagnosis } from "../domain/findings.ts";
import { isMisfit } from "../domain/findings.ts";
import type { WalkStanding } from "../domain/margins.ts";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { type Language, wordsIn } from "../words/language.ts";
import type { Words } from "../words/words.ts";
import { cautionsSaid, explanationCautions } from "./cautions.ts";
import { explanationTold } from "./explanation-told.ts";
import { informedLines } from "./informed-words.ts";
import { lastPointText, limitText } from "./limit-text.ts";
import { marginLines } from "./margins-text.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { SUSPECT, suspectLines } from "./suspects-text.ts";
import { byHeads, NO_VALUE, paint, type Style, tableText } from "./text-table.ts";
import { againLines, verdictCounts, verdictWords } from "./verdict-lines.ts";
import { isWorthSaying, leadLine } from "./worth-saying.ts";
import { prose, wrapped } from "./wrap-text.ts";

/** A connector that is this likely at fault is going to be opened. */
const TO_CLEAN = 0.5;

/** One walk with all that is said about it. */
export interface CheckedWalk {
  readonly diagnosis: WalkDiagnosis;
  readonly standing: WalkStanding;
  readonly readings: readonly Reading[];
}

/**
 * What `check --details` prints of one walk: verdict, ranking, map, what stands against trusting it.
 *
 * @param language what it is told in; names are the pool file's in every language
 */
export function checkText(
  pool: Pool,
  checked: CheckedWalk,
  colour: boolean,
  language: Language = "en",
): string {
  const { diagnosis: walk, standing, readings } = checked;
  const words = wordsIn(language);
  const style: Style = { colour };
  const resting = readings.filter(isResting);
  return [
    ...wrapped(headLine(pool, walk, resting, words)).map((line) => paint(line, "bold", style)),
    ...misfitLines(walk, words).flatMap((line) => wrapped(line)),
    ...wrapped(leadLine(walk, words)),
    "",
    ...prose(explanationLines(pool, walk, ({ probability }) => probability >= 0.5, words)),
    ...suspectLines(walk, style, words),
    ...mapLines(pool, walk, resting, style, words),
    ...prose([
      ...circuitLines(pool, walk, resting, words),
      ...marginLines(pool, standing.circuits, words),
      ...explanationLines(pool, walk, isMinor, words),
      ...againTextLines(walk, words),
      ...meterLines(pool, walk.meters, words),
      ...informedLines(walk, words),
      ...cautionLines(pool, walk, words),
    ]),
  ].join("\n");
}

/** Worth a line behind the suspects, not before them. */
const isMinor = (one: Explanation): boolean => isWorthSaying(one) && one.probability < 0.5;

/** Whose walk it is, and what was read in it. */
export const headLine = (
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  { check }: Words,
): string =>
  check.head({
    pool: pool.name,
    walk: walk.walk,
    readings: resting.length,
    circuits: walk.circuits.length,
  });

/** Where the readings do not fit: that first, with what would make them fit, and what to read again. */
export function misfitLines(
  { fit, explanations }: WalkDiagnosis,
  { check, explanations: { wouldFit } }: Words,
): readonly string[] {
  if (!isMisfit(fit)) return [];
  const best = explanations.map(({ kind }) => kind).find(isRival);
  return [
    check.misfit(best === undefined ? null : wouldFit[best]),
    ...(fit.worst.length === 0 ? [] : [check.readAgainFirst(fit.worst)]),
  ];
}

/** Volts by lane and by the points that were read. Weak values carry the word, so that colour is not needed. */
export function mapLines(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  style: Style,
  words: Words,
): readonly string[] {
  const { check, places } = words;
  const points = pool.points.filter((point) =>
    resting.some(
      (one) => one.point === point && walk.circuits.some((own) => sameCircuit(one, own)),
    ),
  );
  const rows = walk.circuits.map((circuit) => [
    places.laneCell(circuit),
    places.deviceCell(circuit),
    ...points.map((point) => {
      const here = resting.filter((one) => sameCircuit(one, circuit) && one.point === point);
      return here.map((one) => cellText(pool, walk, one, words)).join(" ");
    }),
  ]);
  const heads = [...check.mapHeads, ...points];
  const table = tableText(
    heads,
    rows.map((row) => row.map((cell) => cell || NO_VALUE)),
    ["right", "left", ...points.map(() => "left" as const)],
    byHeads(heads, check.mapHeads.length),
  );
  const marked = new RegExp(`\\S+ (${Object.values(check.marks).join("|")})`, "g");
  return [
    paint(check.mapTitle, "bold", style),
    ...table.map((line) => line.replace(marked, (all) => paint(all, "red", style))),
    "",
  ];
}

function cellText(
  pool: Pool,
  walk: WalkDiagnosis,
  reading: Reading,
  { check: { marks }, figures }: Words,
): string {
  const { point, volts } = reading;
  const again = walk.readAgain.some(
    (one) => sameCircuit(one, reading) && one.point === point && one.shown?.line === reading.line,
  );
  const low = volts < limitVoltsOr0(pool);
  const mark = again ? marks.again : volts === 0 ? marks.open : low ? marks.weak : "";
  return `${figures.decimal(volts, 2)} ${mark}`.trimEnd();
}

/** The verdicts: what is not sound by name, what is sound by its number. */
function circuitLines(
  pool: Pool,
  walk: WalkDiagnosis,
  resting: readonly Reading[],
  words: Words,
): readonly string[] {
  if (walk.circuits.length === 0) return [];
  const { check, places, figures } = words;
  const [limit, where] = [limitText(pool, figures), lastPointText(pool, places)];
  const others = walk.circuits.filter(({ verdict }) => verdict !== "sound");
  if (others.length === 0) return [check.everySound(limit, where), ""];
  const told = others.map(
    (circuit) => `  ${places.circuit(circuit)}: ${verdictWords(pool, circuit, resting, words)}`,
  );
  return [check.circuits(verdictCounts(walk, words), limit, where), ...told, ""];
}

/** Explanations other than the contacts: likely ones stand before the suspects, the rest behind. */
export function explanationLines(
  pool: Pool,
  walk: WalkDiagnosis,
  isAsked: (one: Explanation) => boolean,
  words: Words,
): readonly string[] {
  const asked = walk.explanations.filter(isAsked);
  if (asked.length === 0) return [];
  const { labels, toTell } = words.explanations;
  const lines = asked.map((one) => {
    const told = explanationTold(one, walk, pool, words);
    const label = labels[one.probability >= 0.5 ? "likely" : "not-ruled-out"];
    const sure = words.figures.percent(one.probability);
    return `${label} (${sure}): ${told.words} ${toTell}: ${told.wouldTell}`;
  });
  const cautions = explanationCautions(asked, words);
  return [...lines, ...cautions.map((one) => `  ${words.cautions.caution}: ${one.words}`), ""];
}

function againTextLines(walk: WalkDiagnosis, words: Words): readonly string[] {
  const { check, figures } = words;
  const lines = againLines(walk, words).map(({ who, why, place }) => {
    const shown = place?.shown
      ? check.shown(place.shown.line, figures.volts(place.shown.volts))
      : "";
    return `  ${who}${shown}: ${why}`;
  });
  return lines.length === 0 ? [] : [check.readAgainTitle, ...lines, ""];
}

export function meterLines(
  { meters: known }: Pool,
  meters: readonly MeterSight[],
  { check, figures }: Words,
): readonly string[] {
  return meters.map(({ meter, detectionLimit, blind }) => {
    const load = known.find(({ name }) => name === meter)?.loadOhms ?? null;
    if (load === null) return check.meter(meter, check.unknownLoad);
    if (detectionLimit === null) return check.meter(meter, check.showsNothing);
    const least = figures.ohms(detectionLimit);
    return check.meter(meter, blind ? check.showsTooLittle(least) : check.shows(least));
  });
}

function cautionLines(pool: Pool, walk: WalkDiagnosis, words: Words): readonly string[] {
  const suspects = walk.connectors.filter(({ atFault }) => atFault >= SUSPECT);
  if (!suspects.some(({ atFault }) => atFault >= TO_CLEAN)) return [""];
  const lift = suspects.some((one) => mayLiftPad(pool, one)) ? (["lift-pads"] as const) : [];
  const told = cautionsSaid(words.cautions, "clean", ...lift).map((one) => `  ${one.words}`);
  return ["", words.cautions.moments.cleaning, ...told, ""];
}
