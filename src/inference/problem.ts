import type { ConductingKind } from "../domain/explanation-kinds.ts";

/**
 * What the exact sums are asked about: one walk as numbers, without lanes, pads or words.
 *
 * Circuits are chains of contacts from a supply outward; bodies are the shared connectors that make
 * contacts of several circuits fail together; readings are displayed values at points of a chain.
 * Resistances in ohms, voltages in volts, places as indices.
 */

/** One part of a mixture of log-normal resistances: `ln r ~ Normal(ln medianOhms, logSd)`. */
export interface LogNormalPart {
  /** Weight of the part; the parts of a mixture sum to 1. */
  readonly share: number;
  readonly medianOhms: number;
  readonly logSd: number;
}

/** The chances of a contact's states; they sum to 1. */
export interface StateChances {
  readonly sound: number;
  readonly fouled: number;
  /** Open in the connector. */
  readonly open: number;
  /** Open in the cable up to the connector. */
  readonly cable: number;
  readonly intermittent: number;
}

/** One step of a circuit's path: cable, then a mated contact. */
export interface LinkProblem {
  /** Copper of the step, out and back [Ω]. */
  readonly wireOhms: number;
  /** Index of the body that the contact sits in; null where it has none. */
  readonly body: number | null;
  /** Chances of its states while the body is clean, and while it is contaminated. */
  readonly states: readonly [clean: StateChances, contaminated: StateChances];
  /** Resistance while sound (and between bad moments), and while fouled. */
  readonly sound: readonly LogNormalPart[];
  readonly fouled: readonly LogNormalPart[];
}

/** One displayed value. */
export interface ReadingProblem {
  /** Number of the reading in the walk, for answers about it. */
  readonly index: number;
  /** The value shown [V]. */
  readonly shown: number;
  /** Half the display step [V]. */
  readonly halfStep: number;
  /** Stated noise of the meter, before the walk's own scale [V]. */
  readonly noise: number;
  /** Index into `loads`. */
  readonly meter: number;
  /** Place in the walk's order, from -1/2 (first) to 1/2 (last); 0 where it is the only one. */
  readonly order: number;
  /** Weight of the normal parts, of their sum; the rest to 1 and `floor` are unrelated to volts. */
  readonly slope: number;
  /** Share of the wide normal, three times the noise. */
  readonly tails: number;
  /** Likelihood that does not depend on the volts. */
  readonly floor: number;
  /** What the supply's EMF was off by at this reading, known for sure [V]; absent: 0. */
  readonly emfOffset?: number;
  /** Chance of a bad moment at this reading, behind an intermittent contact. */
  readonly badMoment: number;
}

/** Something that conducts across the pair at a link's point. */
export interface ConductingProblem {
  readonly kind: ConductingKind;
  /** Index of the link behind whose connector it conducts. */
  readonly link: number;
  readonly chance: number;
  readonly medianOhms: number;
  readonly logSd: number;
}

/**
 * Part of what is believed of a circuit's contacts together: with this chance they are, given their
 * bodies, independent with these chances of states, by link.
 */
export interface StatePattern {
  readonly chance: number;
  readonly states: readonly (readonly [clean: StateChances, contaminated: StateChances])[];
}

/** One circuit. */
export interface CircuitProblem {
  readonly supply: number;
  readonly links: readonly LinkProblem[];
  /** Where contacts of one path hang together: parts that add to what `links` have one by one. */
  readonly patterns?: readonly StatePattern[];
  /** Resting readings by link. */
  readonly readings: readonly (readonly ReadingProblem[])[];
  /** Readings with the switch pressed, by link. */
  readonly pressed: readonly (readonly ReadingProblem[])[];
  /** At most one of them conducts. */
  readonly conducting: readonly ConductingProblem[];
  /** Largest good resistance of the whole path, wires included [Ω]; null where nothing is judged. */
  readonly limitOhms: number | null;
}

/** A stretch of consecutive zeros of one meter, in the walk's order. */
export interface ZeroRun {
  /** The readings' numbers. */
  readonly readings: readonly number[];
  /** Chance that the display went off, and the zero was written down, before each of them. */
  readonly off: readonly number[];
  /** Marked as just switched on: these zeros are true whatever comes before; absent: none. */
  readonly surelyOn?: readonly boolean[];
  /** Chance that it stays so at each further reading. */
  readonly stays: number;
  /** Whether the meter shows more than 0 after the run. */
  readonly followed: boolean;
}

/** A log-normal number that may also be one of a few exact values. */
export interface UncertainOhms {
  readonly exact: readonly { readonly chance: number; readonly ohms: number }[];
  /** The rest of the chance. */
  readonly medianOhms: number;
  readonly logSd: number;
}

/** One walk. */
export interface WalkProblem {
  readonly supplies: readonly {
    readonly emf: number;
    readonly emfSd: number;
    readonly sourceOhms: UncertainOhms;
  }[];
  /** The meters' loads. */
  readonly loads: readonly UncertainOhms[];
  /** Standard deviation of the drift over the walk [V], and of ln of the noise's scale. */
  readonly driftSd: number;
  readonly noiseLogSd: number;
  /** A bad moment adds a fresh resistance of this law with this chance, else it opens the contact. */
  readonly badMoments: { readonly fouled: number; readonly law: readonly LogNormalPart[] };
  /** Chance that each body is contaminated. */
  readonly bodies: readonly { readonly contaminated: number }[];
  readonly circuits: readonly CircuitProblem[];
  readonly zeroRuns: readonly ZeroRun[];
}

/** A number known for sure. */
export const exactOhms = (ohms: number): UncertainOhms => ({
  exact: [{ chance: 1, ohms }],
  medianOhms: 1,
  logSd: 1,
});
