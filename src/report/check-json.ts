import type { Estimate } from "../domain/findings.ts";
import type { Margins, WalkStanding } from "../domain/margins.ts";
import { circuitName } from "../domain/place.ts";
import type { Reject } from "../domain/reading.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import type { CheckedWalk } from "./check-text.ts";
import { placeJson } from "./place-json.ts";

/**
 * What `check --json` prints, key by key: the contract that other programs rely on. JSON has no
 * infinity, so a quantile that is open-circuit is null. Where nobody knows the meter's load,
 * resistances stand under `loads`, as multiples of it, and `ohms` is absent.
 */
export const checkJson = (
  pool: string,
  walks: readonly CheckedWalk[],
  rejected: readonly Reject[],
  rows: RowCounts,
): string =>
  checkJsonStart(pool) +
  walks.map(checkJsonWalk).join("") +
  checkJsonEnd(walks.length, rejected, rows);

/** The same piece by piece, so that ten thousand walks need not be held at once: before the first. */
export const checkJsonStart = (pool: string): string =>
  `{\n  "schema": "dropwise-check-2",\n  "pool": ${JSON.stringify(pool)},\n  "walks": [`;

/** One walk, and its number from 0. */
export const checkJsonWalk = (walk: CheckedWalk, index: number): string =>
  `${index === 0 ? "" : ","}\n    ${indented(walkJson(walk), 4)}`;

/** Behind the last of so many walks. */
export function checkJsonEnd(walks: number, rejected: readonly Reject[], rows: RowCounts): string {
  const unused = rejected.map(({ file, line, reason, text }) => ({ file, line, reason, text }));
  const end = `${walks === 0 ? "" : "\n  "}],\n  "rows": ${indented(rows, 2)}`;
  return `${end},\n  "rejected": ${indented(unused, 2)}\n}\n`;
}

/** JSON whose lines behind the first are moved in; a line break inside a text is written \\n. */
const indented = (value: unknown, by: number): string =>
  JSON.stringify(value, null, 2).replaceAll("\n", `\n${" ".repeat(by)}`);

export function walkJson({ diagnosis: walk, standing }: CheckedWalk) {
  const resistance = (estimate: Estimate) => {
    const quantiles = finiteOrNull(estimate);
    return walk.resistanceUnit === "ohm" ? { ohms: quantiles } : { loads: quantiles };
  };
  return {
    walk: walk.walk,
    logEvidence: walk.logEvidence,
    emf: walk.emf,
    resistanceUnit: walk.resistanceUnit,
    connectors: walk.connectors.map((row) => ({
      ...placeJson(row),
      atFault: row.atFault,
      voltsLost: row.voltsLost,
      circuits: row.circuits,
      worst: {
        ...circuitName(row.worst),
        ...resistance(row.worst.ohms),
      },
      evidence: row.evidence,
      inseparableFrom: row.inseparableFrom,
      wouldSeparate: row.wouldSeparate,
    })),
    contacts: walk.contacts.map(({ ohms, ...contact }) => ({ ...contact, ...resistance(ohms) })),
    circuits: standing.circuits.map(({ margins, ...circuit }) => ({
      ...circuit,
      margins: marginsJson(margins),
    })),
    acceptance: standing.acceptance,
    marginsNeed: missingFigures(standing),
    explanations: walk.explanations,
    takeAgain: walk.takeAgain,
    meters: walk.meters,
  };
}

/** Null where a figure is missing that they stand on: `marginsNeed` names it. */
const marginsJson = (margins: Margins) =>
  margins.kind === "ask"
    ? null
    : {
        touchOhms: finiteOrNull(margins.touch),
        switchKnown: margins.switchKnown,
        restOhms: finiteOrNull(margins.rest),
      };

const missingFigures = ({ circuits }: WalkStanding) => [
  ...new Set(circuits.flatMap(({ margins }) => (margins.kind === "ask" ? margins.missing : []))),
];

const finiteOrNull = ({ median, low, high }: Estimate) => ({
  median: Number.isFinite(median) ? median : null,
  low: Number.isFinite(low) ? low : null,
  high: Number.isFinite(high) ? high : null,
});
