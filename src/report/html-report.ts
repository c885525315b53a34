import { limitVoltsOr0 } from "../circuit/limit.ts";
import { lastPoint } from "../domain/circuit.ts";
import type { Decision, ReadAgain } from "../domain/decision.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { circuitKey, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading, type Reject } from "../domain/reading.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import type { PointChart } from "../history/point-chart.ts";
import { english } from "../words/english.ts";
import { sentence } from "../words/figure-words.ts";
import { cardBlocks } from "./card-blocks.ts";
import { explanationCautions } from "./cautions.ts";
import { cleaningEffect } from "./charts/cleaning-effect.ts";
import { type ContactSeries, contactHistory } from "./charts/contact-history.ts";
import { controlChart } from "./charts/control-chart.ts";
import { laneMap } from "./charts/lane-map.ts";
import { pathProfile, type SoundPoint } from "./charts/path-profile.ts";
import { suspects } from "./charts/suspects.ts";
import {
  type Block,
  type Document,
  distinctCharts,
  figure,
  heading,
  paragraph,
} from "./document.ts";
import { explanationTold } from "./explanation-told.ts";
import { lastPointText, limitText } from "./limit-text.ts";
import { deviceCell, explanationLabel, leadFinding, percentText } from "./names.ts";
import { methodBlocks } from "./report-method.ts";
import { suspectBlocks } from "./report-suspects.ts";
import { rejectBlocks, takeAgainBlocks } from "./report-take-again.ts";
import { whatToDoBlocks } from "./report-what-to-do.ts";
import { unknownLoad } from "./unknown-load.ts";
import { verdictCounts } from "./verdict-lines.ts";
import { isWorthSaying } from "./worth-saying.ts";

/** The season behind the walk, as far as it is known. */
export interface Season {
  /** Contacts worth a picture, the most urgent first. */
  readonly histories: readonly ContactSeries[];
  readonly cleanings: readonly CleaningScore[];
  readonly controls: readonly PointChart[];
}

/** Everything that a report is written from. */
export interface ReportInput {
  readonly pool: Pool;
  /** The walk that the verdict is about: the latest. */
  readonly walk: WalkDiagnosis;
  /** Readings of all walks; the report picks the walk's own. */
  readonly readings: readonly Reading[];
  readonly rejects: readonly Reject[];
  /** What a sound path would have shown in this walk. */
  readonly sound: readonly SoundPoint[];
  /** One for each suspect, where costs are known; else empty. */
  readonly decisions: readonly Decision[];
  /** Suspects that were worked on since the walk. */
  readonly readAgain?: readonly ReadAgain[];
  readonly season: Season | null;
}

/** A connector is called a suspect from here on: more likely faulty than sound. */
export const suspectFrom = 0.5;

/**
 * The report of one walk: verdict, what to do, what to read again, map, suspects with their evidence,
 * the season, and how it was computed.
 */
export function reportDocument(input: ReportInput): Document {
  const { pool, walk } = input;
  const found = walk.connectors.filter((one) => one.atFault >= suspectFrom);
  const read = input.readings.filter((one) => one.walk === walk.walk);
  return {
    title: `${pool.name}: timing path, walk ${walk.walk}`,
    letterhead: [],
    blocks: distinctCharts([
      ...verdictBlocks(input, read),
      heading(2, "What to do"),
      ...whatToDoBlocks(pool, found, input.decisions, input.readAgain),
      ...cardBlocks(pool, found, input.decisions),
      heading(2, "What to read again"),
      ...takeAgainBlocks(walk),
      heading(2, "Map"),
      figure(
        laneMap(pool, walk, read),
        "Each cell: volts as read. Solid frame: the contact there is more likely faulty than sound. Dashed frame: under the limit. Rest the pointer on a cell for its numbers.",
      ),
      heading(2, "Suspects and evidence"),
      ...(walk.connectors.length === 0
        ? []
        : [figure(suspects(walk), "Resistances are of each connector's worst contact.")]),
      ...suspectBlocks(found),
      ...profileBlocks(input, read),
      ...seasonBlocks(input.season),
      ...rejectBlocks(input.rejects),
      heading(2, "Method and assumptions"),
      ...methodBlocks(pool, walk, read),
    ]),
  };
}

const isAtEnd = (pool: Pool, reading: Reading): boolean => {
  const circuit = circuitOf(pool, reading);
  return circuit !== undefined && lastPoint(circuit) === reading.point;
};

function verdictBlocks({ pool, walk }: ReportInput, read: readonly Reading[]): Block[] {
  const circuits = new Set(read.map((one) => circuitKey(one))).size;
  const all = pool.circuits.length;
  const limit = limitVoltsOr0(pool);
  const under = read.filter(
    (one) => isAtEnd(pool, one) && isResting(one) && one.volts < limit,
  ).length;
  const blind = walk.meters.filter((one) => one.blind).map((one) => one.meter);
  const told = walk.explanations.filter(isWorthSaying);
  const verdict =
    blind.length > 0 && (walk.connectors[0]?.atFault ?? 0) < suspectFrom
      ? `No verdict: meter ${blind.join(", ")} cannot show a path that is at its limit`
      : leadFinding(walk.connectors);
  return [
    { kind: "verdict", line: [`${verdict}.`] },
    paragraph(
      `${read.length} readings of ${circuits} of ${all} circuits. `,
      `${under} of the readings at the ${lastPointText(pool, english.places)} are under the facility's limit of ${limitText(pool, english.figures)}. `,
      `Circuits: ${verdictCounts(walk, english)}. `,
      `The supply stood at ${walk.emf.median.toFixed(2)} V (90 %: ${walk.emf.low.toFixed(2)} to ${walk.emf.high.toFixed(2)} V).`,
    ),
    ...(pool.meters.every(({ loadOhms }) => loadOhms !== null) ? [] : [paragraph(unknownLoad)]),
    ...told.map((one) => {
      const { words, wouldTell } = explanationTold(one, walk, pool, english);
      return paragraph(
        { strong: `${explanationLabel(one)} (probability ${percentText(one.probability)}): ` },
        sentence(words),
        wouldTell === null ? "" : ` What would tell: ${wouldTell}`,
      );
    }),
    ...explanationCautions(told, english).map((one) => paragraph(one.words)),
  ];
}

/** One profile a device that was read. */
function profileBlocks(input: ReportInput, read: readonly Reading[]): Block[] {
  const { pool, walk, sound } = input;
  const there = new Set(read.map(deviceCell));
  const ofDevice = (device: string): readonly string[] =>
    pool.circuits.filter((one) => one.device === device).map(deviceCell);
  const devices = [...new Set(pool.devices.flatMap(ofDevice))].filter((one) => there.has(one));
  if (devices.length === 0) return [];
  return [
    heading(3, "Volts along each path"),
    ...devices.map((device) =>
      figure(
        pathProfile(pool, walk, device, read, sound),
        "The step between two points is what the connector between them takes.",
      ),
    ),
  ];
}

function seasonBlocks(season: Season | null): Block[] {
  if (season === null) return [];
  const histories = season.histories.map((one) =>
    figure(contactHistory(one), "Resistance of this one contact, walk after walk."),
  );
  const judged = season.cleanings.filter(
    (one) => one.beforeOhms !== null && one.afterOhms !== null,
  );
  const cleanings =
    judged.length === 0
      ? []
      : [figure(cleaningEffect(judged), "Only cleanings with a walk on either side are shown.")];
  const controls = season.controls.map((one) =>
    figure(controlChart(one), "Limits are three sigma, from the moving range of neighbours."),
  );
  const figures = [...histories, ...cleanings, ...controls];
  return figures.length === 0 ? [] : [heading(2, "Over the season"), ...figures];
}
