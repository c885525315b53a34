import { lastPoint } from "../domain/circuit.ts";
import type {
  CircuitFinding,
  Doubt,
  PlaceToRead,
  Verdict,
  WalkDiagnosis,
} from "../domain/findings.ts";
import { circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import type { Words } from "../words/words.ts";
import { limitText } from "./limit-text.ts";

/** What a weak circuit shows, or what ails it: `4.46 V`, `a contact comes and goes`. */
export function weakWords(
  pool: Pool,
  circuit: Extract<CircuitFinding, { readonly verdict: "weak" }>,
  readings: readonly Reading[],
  { verdicts, figures }: Words,
): string {
  if (circuit.reason !== "under-limit") return verdicts.weaknesses[circuit.reason];
  const end = lastPoint(circuitOf(pool, circuit)!);
  const shown = readings.filter(
    (one) => sameCircuit(one, circuit) && one.point === end && isResting(one),
  );
  const least = Math.min(...shown.map(({ volts }) => volts));
  return shown.length === 0 ? verdicts.notRead(end) : figures.volts(least);
}

/** `weak: 4.46 V, limit 4.80 V`, `read again: the last point was not read`, `sound`. */
export function verdictWords(
  pool: Pool,
  circuit: CircuitFinding,
  readings: readonly Reading[],
  words: Words,
): string {
  const { verdicts } = words;
  const name = verdicts.verdicts[circuit.verdict];
  if (circuit.verdict === "sound") return name;
  if (circuit.verdict === "read-again") return `${name}: ${verdicts.doubts[circuit.reason]}`;
  const what = weakWords(pool, circuit, readings, words);
  const limit =
    circuit.reason === "under-limit" ? verdicts.limit(limitText(pool, words.figures)) : "";
  return `${name}: ${what}${limit}`;
}

/** Whether every circuit read is sound: the exit status, and the first line of a report. */
export const isAllSound = ({ circuits }: WalkDiagnosis): boolean =>
  circuits.every(({ verdict }) => verdict === "sound");

/** `3 weak, 2 to read again, 19 sound`. */
export function verdictCounts({ circuits }: WalkDiagnosis, { verdicts }: Words): string {
  const count = (verdict: Verdict): number =>
    circuits.filter((circuit) => circuit.verdict === verdict).length;
  return verdicts.counts({
    weak: count("weak"),
    "read-again": count("read-again"),
    sound: count("sound"),
  });
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
export function againLines(
  { readAgain }: WalkDiagnosis,
  { places: called, verdicts: { doubts } }: Words,
): readonly AgainLine[] {
  const places = readAgain.filter(({ why }) => !OF_THE_METER.has(why));
  const meter = [...OF_THE_METER].flatMap((why): AgainLine[] => {
    const own = readAgain.filter((place) => place.why === why);
    const who = called.counted(own.length, "circuit");
    return own.length === 0 ? [] : [{ who, why: doubts[why], place: null }];
  });
  const whoOf = (place: PlaceToRead): string => `${called.circuit(place)}, ${place.point}`;
  return [
    ...places.map((place) => ({ who: whoOf(place), why: doubts[place.why], place })),
    ...meter,
  ];
}
