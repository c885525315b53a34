import type { ConductingKind, ExplanationKind } from "./explanation-kinds.ts";
import type { CircuitName, Place } from "./place.ts";

/**
 * What a diagnosis says, as plain data and codes: it prints as JSON, every room behind the diagnosis
 * reads the same thing, and words are put to it in words/. Resistances are in ohms, infinite for an
 * open contact (the JSON output writes null there).
 */

/** Median and 90 % interval of a quantity. */
export interface Estimate {
  /** Half is below [of the quantity; any]. */
  readonly median: number;
  /** 5 % is below [of the quantity; at most the median]. */
  readonly low: number;
  /** 5 % is above [of the quantity; at least the median]. */
  readonly high: number;
}

/** One circuit's joint in one connector: posterior of its state and resistance. */
export interface ContactFinding extends CircuitName {
  readonly point: string;
  /** P(it is sound). */
  readonly sound: number;
  /** P(film or corrosion is on it). */
  readonly fouled: number;
  /** P(open in the connector or in the cable up to it). */
  readonly open: number;
  /** The part of `open` that is the cable's [P]. */
  readonly cable: number;
  /** P(it comes and goes). */
  readonly intermittent: number;
  /** Over all states, open counting as infinite [Ω]. */
  readonly ohms: Estimate;
  /** Expected volts that this contact alone takes from the reading behind it [V]. */
  readonly voltsLost: number;
}

/** A connector this likely to be at fault is a suspect: it is decided on, and nothing else is worked on. */
export const SUSPECT = 0.2;

/** Is a connector likelier faulty than sound? It is then named, and somebody goes to it. */
export const isAccused = ({ atFault }: { readonly atFault: number }): boolean => atFault >= 0.5;

/** Is a contact likelier faulty than sound? */
export const isFaulty = ({ sound }: { readonly sound: number }): boolean => sound < 0.5;

/**
 * Is a contact likelier open than fouled, or than one that comes and goes? Then a break is looked for
 * before anything is cleaned, replaced or left: whatever says what to do first asks this.
 */
export const mayBeBroken = ({
  open,
  fouled,
  intermittent,
}: Pick<ContactFinding, "open" | "fouled" | "intermittent">): boolean =>
  open > Math.max(fouled, intermittent);

/** How a contact fails. */
export type Failing = "fouled" | "open" | "comes-and-goes" | "cable";

/** One reading as evidence for or against a suspect. */
export interface Evidence extends CircuitName {
  readonly point: string;
  /** What the meter showed [V]. */
  readonly volts: number;
  /** What it would have shown had this connector been sound, everything else as found [V]. */
  readonly expectedIfSound: number;
  readonly speaks: "for" | "against";
}

/** A reading that nobody took and that would tell two suspects apart. */
export interface WantedReading extends CircuitName {
  readonly point: string;
}

/** One connector in the ranking. */
export interface ConnectorFinding extends Place {
  readonly connector: string;
  /** P(at least one faulty contact among the circuits read in this walk); the cable left out. */
  readonly atFault: number;
  /** Expected volts that it takes from its worst circuit [V]. */
  readonly voltsLost: number;
  /** The circuits that suffer, by device (with the lane in front where lanes share it). */
  readonly circuits: readonly string[];
  /** The contact of its worst circuit. */
  readonly worst: ContactFinding;
  /** How that contact fails, the likeliest first, and P(it fails so). */
  readonly fails: readonly { readonly how: Failing; readonly probability: number }[];
  readonly evidence: readonly Evidence[];
  /** Points of the same circuit that the readings cannot tell from this one. */
  readonly inseparableFrom: readonly string[];
  /** The reading that would tell them apart. */
  readonly wouldSeparate: WantedReading | null;
}

/** Another explanation of the readings, weighed beside the contacts. */
export interface Explanation {
  readonly kind: ExplanationKind;
  /** Lane, device and end of its circuit; all null for one about the walk, a supply or a meter. */
  readonly lane: CircuitName["lane"];
  readonly device: string | null;
  readonly end: string | null;
  /** Where along the path, where the kind has a place. */
  readonly point: string | null;
  /** The meter or the supply that it is about. */
  readonly of: string | null;
  /** Posterior probability. */
  readonly probability: number;
}

/** Something that conducts across a circuit's pair. */
export interface ConductingFinding {
  readonly kind: ConductingKind;
  /** The point at which it conducts. */
  readonly point: string;
  readonly probability: number;
}

/** Why a circuit cannot be called sound, or where a reading must be taken again. */
export type Doubt =
  | "does-not-fit"
  | "one-odd-value"
  | "display-off"
  | "moves"
  | "conducting"
  | "unknown-load"
  | "blind-meter"
  | "not-read"
  | "near-limit";

/** What makes a circuit weak. */
export type Weakness = "under-limit" | "open" | "comes-and-goes" | "conducting";

/** What a circuit comes to, with the reason as a code. */
export type Judgement =
  | { readonly verdict: "sound"; readonly reason: "within-limit" }
  | { readonly verdict: "weak"; readonly reason: Weakness }
  | { readonly verdict: "read-again"; readonly reason: Doubt };

/** What a circuit is called. */
export type Verdict = Judgement["verdict"];

/** One circuit's path as a whole. */
export type CircuitFinding = CircuitName &
  Judgement & {
    /** P(the path is over its limit in ohms, open included); null where nothing can be judged. */
    readonly underLimit: number | null;
    /** All that may conduct across it, the likeliest first. */
    readonly conducting: readonly ConductingFinding[];
  };

/** A place to read again, or for the first time, and why. In the order in which to walk. */
export interface PlaceToRead extends CircuitName {
  readonly point: string;
  readonly why: Doubt;
  /** The value that is doubted; null where the place as such is to be read. */
  readonly shown: DoubtedValue | null;
}

/** A value that more likely than not does not show its path. */
export interface DoubtedValue {
  /** What was written [V]. */
  readonly volts: number;
  /** Its line in the sheet. */
  readonly line: number;
  /** P(it does not show the path: misread, display off, or a bad moment). */
  readonly doubt: number;
}

/** What one meter can show on this pool's path. */
export interface MeterSight {
  readonly meter: string;
  /** Smallest contact that shows as a step at the last point [Ω]; null: none, or load unknown. */
  readonly detectionLimit: number | null;
  /** It cannot see a median fouled contact: no path may be called sound on it. */
  readonly blind: boolean;
}

/** A named shared number of a walk. */
export type Named<Of> = Of & { readonly name: string };

/** How well the model fits the walk. */
export interface Fit {
  /** P(the model, at its own posterior, shows something as odd); null: not worked out. */
  readonly p: number | null;
  /** The oddest places, the oddest first. */
  readonly worst: readonly WantedReading[];
}

/** A walk does not fit under this p; a circuit under it over the number of circuits. */
export const LEAST_FIT = 0.01;

/** Nothing of a walk that does not fit passes. */
export const isMisfit = ({ p }: Fit): boolean => p !== null && p < LEAST_FIT;

/**
 * What a walk's readings by themselves say of the states of one circuit's contacts, whatever was
 * believed before: likelihoods, up to one factor. What the walks after it start from.
 */
export interface StateLikelihoods extends CircuitName {
  /** Of every contact being sound [no unit; 0 or more]. */
  readonly sound: number;
  /**
   * By link: of its contact being the first faulty one on the way out: fouled, open, intermittent
   * [no unit; 0 or more].
   */
  readonly first: readonly (readonly number[])[];
  /**
   * By link, where a contact in front of it is fouled: of each state, sound first, over their mean by
   * the prior [no unit; 0 or more]. Behind an open contact nothing is seen of any.
   */
  readonly steady: readonly (readonly number[])[];
  /** The same where a contact in front of it is intermittent [no unit; 0 or more]. */
  readonly shaky: readonly (readonly number[])[];
}

/** Everything that one walk's readings say. */
export interface WalkDiagnosis {
  readonly walk: string;
  /** Earlier walks that the priors come from, in the order of time. */
  readonly informedBy: readonly string[];
  /** By circuit read, for the walks after it; none where earlier walks have informed this one. */
  readonly likelihoods: readonly StateLikelihoods[];
  /** ln P(all displayed values), natural units. */
  readonly logEvidence: number;
  readonly fit: Fit;
  /** Of the supply with most readings; all of them in `supplies` [V]. */
  readonly emf: Estimate;
  readonly supplies: readonly Named<{ readonly emf: Estimate; readonly sourceOhms: Estimate }>[];
  /** Of the meters that were used [Ω], [V]. */
  readonly loads: readonly Named<{ readonly ohms: Estimate; readonly noise: Estimate }>[];
  /** Change of the supply from the first reading to the last [V]. */
  readonly drift: Estimate;
  readonly connectors: readonly ConnectorFinding[];
  readonly contacts: readonly ContactFinding[];
  readonly circuits: readonly CircuitFinding[];
  readonly explanations: readonly Explanation[];
  readonly readAgain: readonly PlaceToRead[];
  readonly meters: readonly MeterSight[];
}
