import type { Supply } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { MixturePart, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { english } from "../words/english.ts";
import { type Block, column, list, paragraph, table } from "./document.ts";
import { informedLines } from "./informed-words.ts";
import { ohmsText, percentText } from "./names.ts";

/** By whom a link is shared, in a table. */
const sharedWords = { pool: "pool", lanes: "groups of lanes", lane: "lane", device: "device" };

const supplyWords = ({ name, emf, emfSd, sourceOhms }: Supply): string =>
  `Supply ${name}: ${emf.toFixed(2)} V, standard deviation ${emfSd.toFixed(2)} V before any reading; ` +
  `source resistance ${sourceOhms === null ? "not known" : `${sourceOhms} Ω`}. `;

const partWords = ({ share, medianOhms, logSd }: MixturePart): string =>
  `median ${medianOhms} Ω, ${logSd}${share === 1 ? "" : ` (${percentText(share)})`}`;

/** How the numbers came about and what they rest on, so that a reader can doubt them properly. */
export function methodBlocks(
  pool: Pool,
  walk: WalkDiagnosis,
  read: readonly Reading[],
): readonly Block[] {
  return [
    paragraph(
      "Each circuit is a chain of wires and contacts from the timer to the switch. A meter of known load, put on one point, reads the supply divided between the load and all resistance before the point. ",
      "From all readings of the walk together the program computes, exactly and without sampling, how probable it is that each contact is sound, fouled or open, and how large its resistance is (Bayes' rule, summed over the states of the connectors and integrated over resistances and the supply).",
    ),
    list([
      [
        `A reading is an interval of its display step, with noise of one standard deviation as given for the meter; ${(100 * pool.model.misread).toFixed(1)} % of values are taken to be misread or mistyped.`,
      ],
      [...pool.supplies.map(supplyWords)],
      [
        `A sound contact: median ${pool.contact.sound.medianOhms} Ω, log-standard deviation ${pool.contact.sound.logSd}. A fouled one: ${pool.contact.fouled.map(partWords).join(", or ")}. An open one passes nothing.`,
      ],
      [
        "Intervals are 90 % unless they say otherwise. No contact is taken to change within a walk. ",
        ...informedLines(walk, english),
      ],
      [
        `Natural logarithm of the evidence of the walk's ${read.length} readings: ${walk.logEvidence.toFixed(3)}.`,
      ],
    ]),
    table(
      "The path, from the timer out",
      [
        column("Point", 2),
        column("Connector", 3),
        column("Shared by", 2),
        column("Wire before it [Ω]", 2, "right"),
        column("P(contaminated)", 3, "right"),
        column("P(fouled)", 3.4, "right"),
      ],
      pool.links.map(({ priors, ...one }) => [
        one.point,
        one.connector,
        sharedWords[one.sharedBy],
        String(+one.wireOhms.toFixed(3)),
        one.sharedBy === "device" ? "–" : String(priors.contaminated),
        one.sharedBy === "device"
          ? String(priors.fouled)
          : `${priors.fouled}, ${priors.fouledIfContaminated} if contaminated`,
      ]),
    ),
    table(
      "Meters",
      [
        column("Meter", 2),
        column("Load [Ω]", 2, "right"),
        column("Smallest contact that it shows", 4),
      ],
      pool.meters.map((meter) => {
        const sight = walk.meters.find((one) => one.meter === meter.name);
        const least = sight?.detectionLimit ?? null;
        return [
          meter.name,
          meter.loadOhms === null ? "not known" : String(meter.loadOhms),
          sight === undefined
            ? "not used in this walk"
            : sight.blind || least === null
              ? "none: a path may be at its limit and not show it"
              : ohmsText(least),
        ];
      }),
    ),
    paragraph("The report is maintenance advice and certifies nothing."),
  ];
}
