import type { WantedReading } from "../domain/findings.ts";

/** What a walk comes to, beside its suspects and verdicts. */
export interface CheckWords {
  /** Whose walk it is, and what was read in it. */
  readonly head: (walk: {
    readonly pool: string;
    readonly walk: string;
    readonly readings: number;
    readonly circuits: number;
  }) => string;
  /** What would make a walk fit that does not, in words; null: nothing that the program knows. */
  readonly misfit: (wouldFit: string | null) => string;
  readonly readAgainFirst: (places: readonly WantedReading[]) => string;
  /** Every circuit is over its limit, that is so much at this point. */
  readonly sound: (limit: string, where: string) => string;
  /** None is under it, though a connector is suspect. */
  readonly notYet: (finding: string, limit: string, where: string) => string;
  /** The weak circuits, each with what it reads. */
  readonly weak: (limit: string, told: string) => string;
  /** What to read again, and why. */
  readonly again: (who: string, why: string) => string;
  readonly andMore: (count: number) => string;
  readonly andMoreCircuits: (count: number) => string;
  /** Of how many circuits nothing is said but the least that they read. */
  readonly othersSound: (count: number, least: string) => string;
  readonly mapTitle: string;
  readonly mapHeads: readonly [lane: string, device: string];
  /** What a value is marked by. */
  readonly marks: Readonly<Record<"again" | "open" | "weak", string>>;
  /** Title over the circuits that are not sound. */
  readonly circuits: (counts: string, limit: string, where: string) => string;
  readonly everySound: (limit: string, where: string) => string;
  readonly readAgainTitle: string;
  /** Where a doubted value stands: ` (line 12, 4.61 V)`. */
  readonly shown: (line: number, volts: string) => string;
  /** Which earlier walks a walk starts from. */
  readonly informed: (walks: readonly string[]) => string;
  readonly details: string;
  /** What every output says where nobody knows the meter's load. */
  readonly unknownLoad: string;
  readonly meter: (name: string, what: string) => string;
  readonly showsNothing: string;
  /** The smallest contact that a meter shows. */
  readonly shows: (ohms: string) => string;
  readonly showsTooLittle: (ohms: string) => string;
  /** Said first where over a tenth of a sheet was not used. */
  readonly unused: (lost: number, of: number, used: number) => string;
}
