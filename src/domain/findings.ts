import type { CircuitName, Place } from "./place.ts";

/**
 * What a diagnosis says, as plain data: it prints as JSON, and every room behind the diagnosis
 * reads the same thing. Resistances here are numbers, infinite for an open contact (the JSON
 * output writes null there), in ohms, or in units of the meter's load where nobody knows the load.
 */

/** Median and 90 % interval of a quantity. */
export interface Estimate {
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

/** One circuit's joint in one connector: posterior of its state and resistance. */
export interface ContactFinding extends CircuitName {
  readonly point: string;
  readonly sound: number;
  readonly fouled: number;
  readonly open: number;
  /** Over all three states, open counting as infinite. */
  readonly ohms: Estimate;
  /** Expected volts that this contact alone takes from the reading behind it [V]. */
  readonly voltsLost: number;
}

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
  /** P(at least one faulty contact among the circuits read in this walk). */
  readonly atFault: number;
  /** Expected volts that it costs its worst circuit [V]. */
  readonly voltsLost: number;
  /** The circuits that suffer, by device (with the lane in front where lanes share it). */
  readonly circuits: readonly string[];
  /** The contact of its worst circuit. */
  readonly worst: ContactFinding;
  readonly evidence: readonly Evidence[];
  /** Points of the same circuit that the readings cannot tell from this one. */
  readonly inseparableFrom: readonly string[];
  /** The reading that would tell them apart. */
  readonly wouldSeparate: WantedReading | null;
}

export type ExplanationKind =
  | "stuck-closed"
  | "leaking"
  | "supply-low"
  | "swapped"
  | "meter-off"
  | "meter-blind"
  | "meter-load";

/** A rival explanation that the readings do not rule out. */
export interface Explanation {
  readonly kind: ExplanationKind;
  /** Lane, device and end of its circuit; all null for one about the walk or its meter. */
  readonly lane: CircuitName["lane"];
  readonly device: string | null;
  readonly end: string | null;
  /** Posterior probability against the series-path explanation of the same readings. */
  readonly probability: number;
  /** ln(evidence with it / evidence without it), priors left out. */
  readonly logBayesFactor: number;
  /** One sentence of plain words. */
  readonly words: string;
  /** The reading that would tell it from the leading explanation. */
  readonly wouldTell: string | null;
}

/** A reading to take again, and why. In the order in which to walk. */
export interface TakeAgain extends CircuitName {
  readonly point: string;
  readonly volts: number;
  readonly line: number;
  /** Posterior probability that the value does not show the path. */
  readonly doubt: number;
  readonly reason: string;
}

/** One circuit's path as a whole. */
export interface CircuitFinding extends CircuitName {
  /** P(the true voltage at the last point is under the pool's limit). */
  readonly underLimit: number;
}

/** What one meter can show on this pool's path. */
export interface MeterSight {
  readonly meter: string;
  /** Smallest contact resistance that shows as a step at the last point, null if none can [Ω]. */
  readonly detectionLimit: number | null;
  /** It cannot see a median fouled contact: no path may be called sound on it. */
  readonly blind: boolean;
}

/** Everything that one walk's readings say. */
export interface WalkDiagnosis {
  readonly walk: string;
  /** ln P(all displayed values), natural units. */
  readonly logEvidence: number;
  readonly emf: Estimate;
  /** "ohm", or "meter load": multiples of the meter's unknown load resistance. */
  readonly resistanceUnit: "ohm" | "meter load";
  readonly connectors: readonly ConnectorFinding[];
  readonly contacts: readonly ContactFinding[];
  readonly circuits: readonly CircuitFinding[];
  readonly explanations: readonly Explanation[];
  readonly takeAgain: readonly TakeAgain[];
  readonly meters: readonly MeterSight[];
}
