import type { ConnectorFinding, Evidence, Failing, WalkDiagnosis } from "../domain/findings.ts";
import {
  circuitText,
  connectorName,
  counted,
  ohmsFigures,
  ohmsText,
  percentText,
  voltsText,
} from "./names.ts";
import { paint, type Style, tableText } from "./text-table.ts";
import { prose } from "./wrap-text.ts";

/** A connector that is this likely at fault is a suspect worth a line. */
export const SUSPECT = 0.05;

/** The suspects as a table, and below it each in words. */
export function suspectLines(walk: WalkDiagnosis, style: Style): readonly string[] {
  const suspects = walk.connectors.filter(({ atFault }) => atFault >= SUSPECT);
  const rest = walk.connectors.length - suspects.length;
  const others = `${counted(rest, "other connector")} under ${percentText(SUSPECT)}.`;
  if (suspects.length === 0) {
    return [`No connector is suspect: all ${walk.connectors.length} are under 5 %.`, ""];
  }
  const rows = suspects.map((row, i) => [
    `${i + 1}`,
    connectorName(row),
    percentText(row.atFault),
    intervalText(row),
    voltsText(row.voltsLost),
  ]);
  const table = tableText(["#", "connector", "at fault", "resistance (90 %)", "drops"], rows, [
    "right",
    "left",
    "right",
    "left",
    "right",
  ]);
  const words = suspects.map((row, i) => `  ${i + 1}. ${suspectWords(row)}`);
  return [
    paint("Suspects, most likely at fault first", "bold", style),
    ...table,
    "",
    ...prose(words),
    ...(rest > 0 ? [`  ${others}`] : []),
    "",
  ];
}

/** `104 Ω (99 to 109)`. */
function intervalText({ worst }: ConnectorFinding): string {
  const { median, low, high } = worst.ohms;
  return `${ohmsText(median)} (${ohmsFigures(low)} to ${ohmsFigures(high)})`;
}

/** In plain words: what speaks for it, what against, what would tell more, what suffers. */
function suspectWords(row: ConnectorFinding): string {
  const name = connectorName(row);
  const circuit = circuitText(row.worst);
  const forIt = row.evidence.filter(({ speaks }) => speaks === "for");
  const against = row.evidence.filter(({ speaks }) => speaks === "against");
  const parts = [
    forIt.length > 0
      ? `${name}: on ${circuit}, ${forIt.slice(0, 2).map(readText).join("; ")}`
      : `${name}: no reading of ${circuit} speaks for it`,
  ];
  if (against.length > 0) parts.push(`against it: ${against.slice(0, 2).map(readText).join("; ")}`);
  if (row.wouldSeparate) {
    const wanted = row.wouldSeparate;
    parts.push(
      `the readings cannot tell it from the ${row.inseparableFrom.join(" or the ")}: read ${circuitText(wanted)} at the ${wanted.point}`,
    );
  }
  if (row.fails.length > 0) parts.push(`how it fails: ${row.fails.map(failingText).join(", ")}`);
  const suffer =
    row.circuits.length === 0 ? "" : ` Circuits that suffer: ${row.circuits.join(", ")}.`;
  return `${parts.join("; ")}.${suffer}`;
}

/** How a contact fails, for a technician. */
const failingWords: Readonly<Record<Failing, string>> = {
  fouled: "film or corrosion",
  open: "open in the connector",
  "comes-and-goes": "comes and goes",
  cable: "open in the cable up to it",
};

const failingText = ({ how, probability }: ConnectorFinding["fails"][number]): string =>
  `${failingWords[how]} ${percentText(probability)}`;

const readText = ({ point, volts, expectedIfSound }: Evidence): string =>
  `the ${point} reads ${voltsText(volts)} and should read ${voltsText(expectedIfSound)}`;
