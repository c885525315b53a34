import { limitVoltsOr0 } from "../circuit/limit.ts";
import type { Explanation, MeterSight, WalkDiagnosis } from "../domain/findings.ts";
import type { ReadingAcceptance, WalkStanding } from "../domain/margins.ts";
import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { cautionsFor, explanationCautions } from "./cautions.ts";
import { lastPointText, limitText } from "./limit-text.ts";
import { marginLines } from "./margins-text.ts";
import {
  circuitText,
  counted,
  deviceCell,
  explanationLabel,
  laneCell,
  leadFinding,
  ohmsText,
  percentText,
} from "./names.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { SUSPECT, suspectLines } from "./suspects-text.ts";
import { paint, type Style, tableText } from "./text-table.ts";
import { unknownLoad } from "./unknown-load.ts";
import { prose, wrapped } from "./wrap-text.ts";

/** A connector that is this likely at fault, or a path that is this likely too low, is weak. */
const WEAK = 0.5;

/** Whether anything in this walk is more likely weak than not. */
export const isWeak = (walk: WalkDiagnosis): boolean =>
  walk.connectors.some(({ atFault }) => atFault >= WEAK) ||
  walk.circuits.some(({ underLimit }) => underLimit >= WEAK);

/** One walk with all that is said about it. */
export interface CheckedWalk {
  readonly diagnosis: WalkDiagnosis;
  readonly standing: WalkStanding;
  readonly readings: readonly Reading[];
}

/** What `check` prints of one walk: verdict, ranking, map, and what stands against trusting it. */
export function checkText(pool: Pool, checked: CheckedWalk, colour: boolean): string {
  const { diagnosis: walk, standing, readings } = checked;
  const style: Style = { colour };
  const resting = readings.filter(({ state }) => state === "rest");
  const head = `${pool.name}, walk ${walk.walk}: ${counted(resting.length, "reading")} of ${counted(walk.circuits.length, "circuit")}`;
  return [
    ...wrapped(head).map((line) => paint(line, "bold", style)),
    ...wrapped(leadFinding(walk.connectors)),
    "",
    ...prose(explanationLines(walk.explanations.filter(({ probability }) => probability >= 0.5))),
    ...suspectLines(walk, style),
    ...mapLines(pool, walk, resting, style),
    ...prose([
      ...limitLines(pool, standing),
      ...marginLines(pool, standing.circuits),
      ...explanationLines(walk.explanations.filter(({ probability }) => probability < 0.5)),
      ...takeAgainLines(walk),
      ...meterLines(walk.meters, walk.resistanceUnit),
      ...cautionLines(pool, walk),
    ]),
  ].join("\n");
}

/** Volts by lane and point. Weak values carry the word, so that colour is not needed. */
function mapLines(
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
  const again = walk.takeAgain.some(
    (one) => sameCircuit(one, reading) && one.point === point && one.volts === volts,
  );
  const low = volts < limitVoltsOr0(pool);
  const word = again ? " again" : volts === 0 ? " open" : low ? " weak" : "";
  return `${volts.toFixed(2)}${word}`;
}

function limitLines(pool: Pool, { circuits, acceptance }: WalkStanding): readonly string[] {
  const open = circuits.filter(({ verdict }) => verdict !== "accept");
  const limit = `${limitText(pool)} at the ${lastPointText(pool)}`;
  if (circuits.length === 0) return [];
  const words = open.map(
    ({ underLimit, verdict, ...circuit }) =>
      `  ${circuitText(circuit)}: ${percentText(underLimit)} likely under the limit, ` +
      (verdict === "reject" ? "rejected" : "undecided: read again or clean"),
  );
  const head =
    open.length === 0
      ? [`Every path read is within its limit of ${limit}.`]
      : [`Limit of ${limit}`];
  return [...head, ...words, guardLine(acceptance), ""];
}

/** The reading that accepts a path by itself, rounded up to what the meter can show. */
function guardLine({ meter, step, guardBand, acceptanceLimit, tolerated }: ReadingAcceptance) {
  const shown = Math.ceil(acceptanceLimit / step - 1e-9) * step;
  const decimals = Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
  return (
    `One reading on meter ${meter} accepts a path from ${shown.toFixed(decimals)} V on: ` +
    `guard band ${guardBand.toFixed(3)} V, risk ${percentText(tolerated)} at most.`
  );
}

/** Explanations other than the contacts: likely ones stand before the suspects, the rest behind. */
function explanationLines(explanations: readonly Explanation[]): readonly string[] {
  if (explanations.length === 0) return [];
  const words = explanations.map((one) => {
    const tell = one.wouldTell === null ? "" : ` To tell: ${one.wouldTell}`;
    return `${explanationLabel(one)} (${percentText(one.probability)}): ${one.words}${tell}`;
  });
  const cautions = explanationCautions(explanations).map((one) => `  Caution: ${one.words}`);
  return [...words, ...cautions, ""];
}

function takeAgainLines(walk: WalkDiagnosis): readonly string[] {
  if (walk.takeAgain.length === 0) return [];
  const words = walk.takeAgain.map(
    ({ point, reason, line, ...circuit }) =>
      `  ${circuitText(circuit)}, ${point} (line ${line}): ${reason}`,
  );
  return ["Take again, in this order", ...words, ""];
}

function meterLines(
  meters: readonly MeterSight[],
  unit: WalkDiagnosis["resistanceUnit"],
): readonly string[] {
  const words = meters.map(({ meter, detectionLimit, blind }) => {
    if (detectionLimit === null) return `Meter ${meter}: shows no contact resistance at all.`;
    const limit = `Meter ${meter}: shows a contact of ${ohmsText(detectionLimit, unit)} or more`;
    if (!blind) return `${limit}.`;
    return `${limit}, and is blind to a fouled one: no path read with it may be called sound.`;
  });
  if (unit === "ohm") return words;
  return [...words, unknownLoad];
}

function cautionLines(pool: Pool, walk: WalkDiagnosis): readonly string[] {
  if (!isWeak(walk)) return [""];
  const suspects = walk.connectors.filter(({ atFault }) => atFault >= SUSPECT);
  const lift = suspects.some((one) => mayLiftPad(pool, one)) ? (["lift-pads"] as const) : [];
  const words = cautionsFor("clean", ...lift).map((one) => `  ${one.words}`);
  return ["", "Before you clean", ...words, ""];
}
