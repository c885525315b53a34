import { lastPoint } from "../domain/circuit.ts";
import type {
  CircuitFinding,
  Doubt,
  PlaceToRead,
  Verdict,
  WalkDiagnosis,
  Weakness,
} from "../domain/findings.ts";
import { circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { limitText } from "./limit-text.ts";
import { circuitText, counted, voltsText } from "./names.ts";

/** Why something must be read again, for a technician. */
export const doubtWords: Readonly<Record<Doubt, string>> = {
  "does-not-fit": "the readings do not fit together",
  "one-odd-value": "one value does not fit the others",
  "display-off": "a zero may be a display that had gone off",
  moves: "a contact may come and go: read it while the plug is moved",
  conducting: "something may conduct across the pair: read it with the device unplugged",
  "unknown-load":
    "the meter's load is not known: one resistor of known value settles it (dropwise meter)",
  "blind-meter": "the meter would not show a path that is at its limit",
  "not-read": "the last point was not read",
  "near-limit": "one more reading settles whether it is under the limit",
};

/** What makes a circuit weak; under its limit, the volts say more. */
export const weaknessNames: Readonly<Record<Weakness, string>> = {
  "under-limit": "under its limit",
  open: "open",
  "comes-and-goes": "a contact comes and goes",
  conducting: "something conducts across the pair",
};

export const verdictNames: Readonly<Record<Verdict, string>> = {
  sound: "sound",
  weak: "weak",
  "read-again": "read again",
};

/** `weak: 4.46 V, limit 4.80 V`, `read again: the last point was not read`, `sound`. */
export function verdictWords(
  pool: Pool,
  circuit: CircuitFinding,
  readings: readonly Reading[],
): string {
  const name = verdictNames[circuit.verdict];
  if (circuit.verdict === "sound") return name;
  if (circuit.verdict === "read-again") return `${name}: ${doubtWords[circuit.reason]}`;
  if (circuit.reason !== "under-limit") return `${name}: ${weaknessNames[circuit.reason]}`;
  const end = lastPoint(circuitOf(pool, circuit)!);
  const shown = readings.filter(
    (one) => sameCircuit(one, circuit) && one.point === end && isResting(one),
  );
  const least = Math.min(...shown.map(({ volts }) => volts));
  const read = shown.length === 0 ? `${end} not read` : voltsText(least);
  return `${name}: ${read}, limit ${limitText(pool)}`;
}

/** Whether every circuit read is sound: the exit status, and the first line of a report. */
export const isAllSound = ({ circuits }: WalkDiagnosis): boolean =>
  circuits.every(({ verdict }) => verdict === "sound");

/** `3 weak, 2 to read again, 19 sound`. */
export function verdictCounts({ circuits }: WalkDiagnosis): string {
  const count = (verdict: Verdict): number =>
    circuits.filter((circuit) => circuit.verdict === verdict).length;
  return `${count("weak")} weak, ${count("read-again")} to read again, ${count("sound")} sound`;
}

/** Reasons that are the meter's, not a place's: said once for all circuits. */
const OF_THE_METER: ReadonlySet<Doubt> = new Set(["unknown-load", "blind-meter"]);

/** A line of what to read again: a place, or all the circuits that wait for the meter. */
export interface AgainLine {
  readonly who: string;
  readonly why: string;
  /** Null for a line about the meter. */
  readonly place: PlaceToRead | null;
}

/** What to read again, in the order in which to walk; what waits for the meter last. */
export function againLines({ readAgain }: WalkDiagnosis): readonly AgainLine[] {
  const places = readAgain.filter(({ why }) => !OF_THE_METER.has(why));
  const meter = [...OF_THE_METER].flatMap((why): AgainLine[] => {
    const own = readAgain.filter((place) => place.why === why);
    const who = counted(own.length, "circuit");
    return own.length === 0 ? [] : [{ who, why: doubtWords[why], place: null }];
  });
  return [
    ...places.map((place) => ({ who: placeText(place), why: doubtWords[place.why], place })),
    ...meter,
  ];
}

/** `lane 3 touchpad, pod`. */
const placeText = (place: PlaceToRead): string => `${circuitText(place)}, ${place.point}`;
