import type { ConnectorFinding, WalkDiagnosis } from "../domain/findings.ts";
import type { Words } from "../words/words.ts";
import { byHeads, paint, type Style, tableText } from "./text-table.ts";
import { prose } from "./wrap-text.ts";

/** A connector that is this likely at fault is a suspect worth a line. */
export const SUSPECT = 0.05;

/** So many readings are told of what speaks for a suspect, and of what speaks against it. */
const TOLD = 2;

/** The suspects as a table, and below it each in words. */
export function suspectLines(walk: WalkDiagnosis, style: Style, words: Words): readonly string[] {
  const { suspects: say, figures, places } = words;
  const suspects = walk.connectors.filter(({ atFault }) => atFault >= SUSPECT);
  const rest = walk.connectors.length - suspects.length;
  if (suspects.length === 0) return [say.noneOf(walk.connectors.length, SUSPECT), ""];
  const rows = suspects.map((row, i) => [
    `${i + 1}`,
    places.connector(row),
    figures.percent(row.atFault),
    say.interval(row.worst.ohms),
    figures.volts(row.voltsLost),
  ]);
  const align = ["right", "left", "right", "left", "right"] as const;
  const table = tableText(say.heads, rows, align, byHeads(say.heads, 2));
  const told = suspects.map((row, i) => `  ${i + 1}. ${suspectWords(row, words)}`);
  return [
    paint(say.title, "bold", style),
    ...table,
    "",
    ...prose(told),
    ...(rest > 0 ? [`  ${say.others(rest, SUSPECT)}`] : []),
    "",
  ];
}

/** What speaks for a suspect, what against, what would tell more, what suffers. */
const suspectWords = (found: ConnectorFinding, { suspects }: Words): string =>
  suspects.inWords({
    found,
    speakFor: found.evidence.filter(({ speaks }) => speaks === "for").slice(0, TOLD),
    against: found.evidence.filter(({ speaks }) => speaks === "against").slice(0, TOLD),
  });
