import type { Estimate, WalkDiagnosis } from "../domain/findings.ts";
import { circuitName } from "../domain/place.ts";
import type { Reject } from "../domain/reading.ts";
import type { RowCounts } from "../domain/row-counts.ts";
import { placeJson } from "./place-json.ts";

/**
 * What `check --json` prints, key by key: the contract that other programs rely on, described by
 * `check-schema.ts`. JSON has no infinity, so a quantile that is open-circuit is null.
 */
export const CHECK_SCHEMA = "dropwise-check-2";

/** The sheets that the walks came from: how many rows, and those that could not be used. */
export interface SheetRows {
  readonly rows: RowCounts;
  readonly rejected: readonly Reject[];
}

export const checkJson = (
  pool: string,
  walks: readonly WalkDiagnosis[],
  sheets: SheetRows,
): string =>
  checkJsonStart(pool) + walks.map(checkJsonWalk).join("") + checkJsonEnd(walks.length, sheets);

/** The same piece by piece, so that ten thousand walks need not be held at once: before the first. */
export const checkJsonStart = (pool: string): string =>
  `{\n  "schema": "${CHECK_SCHEMA}",\n  "pool": ${JSON.stringify(pool)},\n  "walks": [`;

/** One walk, and its number from 0. */
export const checkJsonWalk = (walk: WalkDiagnosis, index: number): string =>
  `${index === 0 ? "" : ","}\n    ${indented(walkJson(walk), 4)}`;

/** Behind the last of so many walks. */
export function checkJsonEnd(walks: number, { rows, rejected }: SheetRows): string {
  const list = rejected.map(({ file, line, reason, text }) => ({ file, line, reason, text }));
  const end = walks === 0 ? "" : "\n  ";
  return `${end}],\n  "rows": ${indented(rows, 2)},\n  "rejected": ${indented(list, 2)}\n}\n`;
}

/** JSON whose lines behind the first are moved in; a line break inside a text is written \\n. */
const indented = (value: unknown, by: number): string =>
  JSON.stringify(value, null, 2).replaceAll("\n", `\n${" ".repeat(by)}`);

export function walkJson(walk: WalkDiagnosis) {
  const ofSupply = walk.supplies.find(({ emf }) => emf === walk.emf);
  const byMeter = (of: (load: WalkDiagnosis["loads"][number]) => Estimate) =>
    Object.fromEntries(walk.loads.map((load) => [load.name, finiteOrNull(of(load))]));
  return {
    walk: walk.walk,
    informedBy: walk.informedBy,
    logEvidence: walk.logEvidence,
    fit: walk.fit,
    emf: finiteOrNull(walk.emf),
    sourceOhms: ofSupply === undefined ? null : finiteOrNull(ofSupply.sourceOhms),
    loads: byMeter(({ ohms }) => ohms),
    noise: byMeter(({ noise }) => noise),
    drift: finiteOrNull(walk.drift),
    circuits: walk.circuits.map(({ verdict, reason, underLimit, conducting, ...circuit }) => ({
      ...circuitName(circuit),
      verdict,
      reason,
      underLimit,
      conducting,
    })),
    connectors: walk.connectors.map((row) => ({
      ...placeJson(row),
      atFault: row.atFault,
      voltsLost: row.voltsLost,
      circuits: row.circuits,
    })),
    contacts: walk.contacts.map(
      ({ point, sound, fouled, open, intermittent, ohms, ...circuit }) => ({
        ...circuitName(circuit),
        point,
        sound,
        fouled,
        open,
        intermittent,
        ohms: finiteOrNull(ohms),
      }),
    ),
    explanations: walk.explanations.map(({ kind, lane, device, end, point, of, probability }) => ({
      kind,
      lane,
      device,
      end,
      point,
      of,
      probability,
    })),
    readAgain: walk.readAgain.map(({ point, why, ...circuit }) => ({
      ...circuitName(circuit),
      point,
      why,
    })),
  };
}

const finiteOrNull = ({ median, low, high }: Estimate) => ({
  median: Number.isFinite(median) ? median : null,
  low: Number.isFinite(low) ? low : null,
  high: Number.isFinite(high) ? high : null,
});
