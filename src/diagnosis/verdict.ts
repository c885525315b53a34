import { type Circuit, lastPoint } from "../domain/circuit.ts";
import type {
  ConductingFinding,
  ContactFinding,
  Doubt,
  Judgement,
  PlaceToRead,
  Weakness,
} from "../domain/findings.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import type { ReadingInference } from "../inference/circuit-sums.ts";

/**
 * The verdict on one circuit. *Sound* needs every rule below to have nothing to say; *weak* is known
 * to be under its limit, or to have a fault that takes it there; everything else is to be read again,
 * and each rule says where.
 */

/** Most P(under the limit) of a sound circuit. */
const MOST_UNDER = 0.05;
/** A value is explained away from this P(it does not show the path) on. */
const EXPLAINED_AWAY = 0.5;
/** So many later readings at its place settle a value that was explained away. */
const READINGS_SINCE = 2;
/** Most P(any contact comes and goes), P(something conducts) of a sound circuit. */
const MOST_INTERMITTENT = 0.1;
const MOST_CONDUCTING = 0.05;
/** A fault stands, and makes a circuit weak, from here on. */
const STANDS = 0.95;

/** A resting reading of the circuit, with why it may not show its path. */
export interface SeenReading extends Pick<ReadingInference, "misread" | "off" | "badMoment"> {
  readonly reading: Reading;
  /** It shows less than a path at the limit would. */
  readonly isLow: boolean;
}

/** All that the rules look at. */
export interface SeenCircuit {
  readonly circuit: Circuit;
  /** By link. */
  readonly contacts: readonly ContactFinding[];
  readonly conducting: readonly ConductingFinding[];
  /** Null: the limit judges nothing, `limitNeeds` says why. */
  readonly underLimit: number | null;
  readonly limitNeeds: "unknown-load" | "blind-meter";
  /** Its own readings in the walk's order, pressed ones too. */
  readonly readings: readonly SeenReading[];
  /** A meter read at its last point, and would have shown the contact that takes it to the limit. */
  readonly seesLimit: boolean;
  /** The meter at its last point has a load that nobody knows. */
  readonly loadUnknown: boolean;
  /** Where the model does not fit; empty: it fits. */
  readonly misfits: readonly string[];
}

type Rule = (seen: SeenCircuit) => readonly PlaceToRead[];

/** The rules of a sound circuit, the gravest first: the first that speaks gives the reason. */
const rules: readonly Rule[] = [
  doesNotFit,
  isExplainedAway,
  mayConduct,
  mayComeAndGo,
  limitUnknown,
  isBlind,
  lastPointUnread,
  isNearLimit,
];

/** What a circuit comes to, and what to read again. */
export function judge(seen: SeenCircuit): {
  readonly judgement: Judgement;
  readonly readAgain: readonly PlaceToRead[];
} {
  const weakness = weaknessOf(seen);
  // A value that was explained away is worth a second look whatever the circuit comes to.
  if (weakness !== null) {
    return { judgement: { verdict: "weak", reason: weakness }, readAgain: oddValues(seen) };
  }
  const said = rules.map((rule) => rule(seen)).filter((places) => places.length > 0);
  if (said.length === 0) {
    const judgement = { verdict: "sound", reason: "within-limit" } as const;
    return { judgement, readAgain: oddValues(seen) };
  }
  const reason = said[0]![0]!.why;
  const again = [...said.flat(), ...oddValues(seen)];
  return { judgement: { verdict: "read-again", reason }, readAgain: once(again) };
}

function weaknessOf({ underLimit, contacts, conducting }: SeenCircuit): Weakness | null {
  if (underLimit !== null && underLimit >= STANDS) return "under-limit";
  if (contacts.some(({ open }) => open >= STANDS)) return "open";
  if (anyIntermittent(contacts) >= STANDS) return "comes-and-goes";
  return anyConducts(conducting) >= STANDS ? "conducting" : null;
}

/** At most one contact of a circuit comes and goes: the probabilities add. */
const anyIntermittent = (contacts: readonly ContactFinding[]): number =>
  contacts.reduce((sum, { intermittent }) => sum + intermittent, 0);

/** At most one thing conducts: the probabilities add. */
const anyConducts = (conducting: readonly ConductingFinding[]): number =>
  conducting.reduce((sum, { probability }) => sum + probability, 0);

function doesNotFit({ circuit, misfits }: SeenCircuit): readonly PlaceToRead[] {
  return misfits.map((point) => placeOf(circuit, point, "does-not-fit"));
}

/** No reading under the limit is explained away and not read again twice since. */
function isExplainedAway(seen: SeenCircuit): readonly PlaceToRead[] {
  return oddValues(seen).filter(({ shown }) =>
    seen.readings.some(({ reading, isLow }) => isLow && reading.line === shown!.line),
  );
}

function oddValues({ circuit, readings }: SeenCircuit): readonly PlaceToRead[] {
  return readings.flatMap((seen, at) => {
    const doubt = doubtOf(seen);
    const { volts, line, point } = seen.reading;
    if (doubt < EXPLAINED_AWAY || !isResting(seen.reading)) return [];
    const since = readings
      .slice(at + 1)
      .filter((later) => later.reading.point === point && doubtOf(later) < EXPLAINED_AWAY);
    if (since.length >= READINGS_SINCE) return [];
    return [placeOf(circuit, point, oddness(seen), { volts, line, doubt })];
  });
}

const doubtOf = ({ misread, off, badMoment }: SeenReading): number =>
  Math.min(1, misread + off + badMoment);

function oddness({ misread, off, badMoment }: SeenReading): Doubt {
  if (off >= misread && off >= badMoment) return "display-off";
  return badMoment >= misread ? "moves" : "one-odd-value";
}

function mayConduct({ circuit, conducting }: SeenCircuit): readonly PlaceToRead[] {
  if (anyConducts(conducting) <= MOST_CONDUCTING) return [];
  return [placeOf(circuit, conducting[0]!.point, "conducting")];
}

function mayComeAndGo({ circuit, contacts }: SeenCircuit): readonly PlaceToRead[] {
  if (anyIntermittent(contacts) <= MOST_INTERMITTENT) return [];
  const worst = contacts.reduce((a, b) => (b.intermittent > a.intermittent ? b : a));
  return [placeOf(circuit, worst.point, "moves")];
}

function limitUnknown({ circuit, underLimit, limitNeeds }: SeenCircuit): readonly PlaceToRead[] {
  return underLimit === null ? [placeOf(circuit, lastPoint(circuit), limitNeeds)] : [];
}

function isBlind(seen: SeenCircuit): readonly PlaceToRead[] {
  const { circuit, seesLimit, loadUnknown } = seen;
  if (seesLimit || !isLastPointRead(seen)) return [];
  return [placeOf(circuit, lastPoint(circuit), loadUnknown ? "unknown-load" : "blind-meter")];
}

const isLastPointRead = ({ circuit, readings }: SeenCircuit): boolean =>
  readings.some(({ reading }) => isResting(reading) && reading.point === lastPoint(circuit));

function lastPointUnread(seen: SeenCircuit): readonly PlaceToRead[] {
  const { circuit } = seen;
  return isLastPointRead(seen) ? [] : [placeOf(circuit, lastPoint(circuit), "not-read")];
}

function isNearLimit({ circuit, underLimit }: SeenCircuit): readonly PlaceToRead[] {
  if (underLimit === null || underLimit <= MOST_UNDER) return [];
  return [placeOf(circuit, lastPoint(circuit), "near-limit")];
}

const placeOf = (
  { lane, device, end }: Circuit,
  point: string,
  why: Doubt,
  shown: PlaceToRead["shown"] = null,
): PlaceToRead => ({ lane, device, end, point, why, shown });

/** Each place and value once, for its gravest reason, from the timer out. */
function once(places: readonly PlaceToRead[]): readonly PlaceToRead[] {
  const seen = new Set<string>();
  return places.filter(({ point, shown }) => {
    const key = JSON.stringify([point, shown?.line ?? null]);
    return !seen.has(key) && seen.add(key);
  });
}
