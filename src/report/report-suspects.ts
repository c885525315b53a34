import type { ConnectorFinding } from "../domain/findings.ts";
import { isCalledOpen, sentence } from "../words/figure-words.ts";
import { type Block, column, heading, paragraph, table } from "./document.ts";
import { circuitText, connectorName, ohmsText, percentText, voltsText } from "./names.ts";

/** Each suspect with the readings that speak for and against it. */
export function suspectBlocks(found: readonly ConnectorFinding[]): readonly Block[] {
  if (found.length === 0)
    return [
      paragraph(
        "No connector is more likely faulty than sound. The ranking shows how far each is from it.",
      ),
    ];
  return found.flatMap((one, index) => [
    heading(3, `${index + 1}. ${sentence(connectorName(one))}`),
    paragraph(
      `At fault with probability ${percentText(one.atFault)}. `,
      `Its worst contact, ${circuitText(one.worst)}, has `,
      `${resistanceWords(one)} and drops ${voltsText(one.voltsLost)}. `,
      `Circuits that suffer: ${one.circuits.join(", ")}.`,
    ),
    ...inseparableBlocks(one),
    ...evidenceBlocks(one),
  ]);
}

function resistanceWords(one: ConnectorFinding): string {
  const { median, low, high } = one.worst.ohms;
  if (isCalledOpen(low)) return "no connection";
  if (!Number.isFinite(median))
    return `no connection (open; 90 %: ${ohmsText(low)} to ${ohmsText(high)})`;
  return `${ohmsText(median)} (90 %: ${ohmsText(low)} to ${ohmsText(high)})`;
}

function inseparableBlocks(one: ConnectorFinding): readonly Block[] {
  if (one.inseparableFrom.length === 0) return [];
  const wanted = one.wouldSeparate;
  const how =
    wanted === null
      ? ""
      : ` Reading ${circuitText(wanted)} at the ${wanted.point} would tell them apart.`;
  return [
    paragraph(
      { strong: "Not told apart: " },
      `these readings fit a fault at the ${one.inseparableFrom.join(" or the ")} as well.${how}`,
    ),
  ];
}

function evidenceBlocks(one: ConnectorFinding): readonly Block[] {
  if (one.evidence.length === 0) return [];
  return [
    table(
      `Readings that bear on the ${connectorName(one)}`,
      [
        column("Circuit", 3),
        column("Point", 2),
        column("Read [V]", 2, "right"),
        column("Should read [V]", 2, "right"),
        column("Speaks", 2),
      ],
      one.evidence.map((each) => [
        circuitText(each),
        each.point,
        each.volts.toFixed(2),
        each.expectedIfSound.toFixed(2),
        each.speaks === "for" ? "for the fault" : "against it",
      ]),
    ),
  ];
}
