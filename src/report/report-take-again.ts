import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Reject } from "../domain/reading.ts";
import { english } from "../words/english.ts";
import { type Block, column, heading, paragraph, table } from "./document.ts";
import { circuitText, counted, percentText } from "./names.ts";
import { againLines } from "./verdict-lines.ts";

/** What to read again, in the order in which to walk, and those that would separate suspects. */
export function takeAgainBlocks(walk: WalkDiagnosis): readonly Block[] {
  const again =
    walk.readAgain.length === 0
      ? [paragraph("Nothing needs to be read again.")]
      : [
          table(
            "Read again, in the order in which to walk",
            [
              column("Place", 4),
              column("Written [V]", 2, "right"),
              column("Doubt", 2, "right"),
              column("Why", 6),
            ],
            againLines(walk, english).map(({ who, why, place }) => [
              who,
              place?.shown?.volts.toFixed(2) ?? "–",
              place?.shown ? percentText(place.shown.doubt) : "–",
              why,
            ]),
          ),
        ];
  const missing = walk.connectors.flatMap((one) =>
    one.wouldSeparate === null || one.atFault < 0.05 ? [] : [one.wouldSeparate],
  );
  const wanted = [...new Set(missing.map((one) => `${circuitText(one)} at the ${one.point}`))];
  return wanted.length === 0
    ? again
    : [...again, paragraph({ strong: "Read for the first time: " }, `${wanted.join("; ")}.`)];
}

/** Most rows that the report prints; `rejected.csv` has them all. */
const mostRejects = 30;

/** Rows of the sheet that could not be used. */
export function rejectBlocks(rejects: readonly Reject[]): readonly Block[] {
  if (rejects.length === 0) return [];
  const more = rejects.length - mostRejects;
  return [
    heading(2, "Rows that could not be used"),
    table(
      `${counted(rejects.length, "row")} not used${more > 0 ? `, the first ${mostRejects}` : ""}`,
      [column("File", 3), column("Line", 1, "right"), column("Why", 5), column("Row", 5)],
      rejects
        .slice(0, mostRejects)
        .map((one) => [one.file, String(one.line), one.reason, one.text]),
    ),
  ];
}
