import type { Estimate } from "./findings.ts";
import type { CircuitName } from "./place.ts";

/**
 * How far a circuit is from missing a touch, and from registering one that nobody made: plain data,
 * worked out in `circuit/margins.ts`.
 */
export type Margins =
  | {
      readonly kind: "known";
      /**
       * Ohms that the path can still gain before a touch is missed; negative where a touch is
       * missed already. An upper bound where `switchKnown` is false [Ω].
       */
      readonly touch: Estimate;
      /** False where no pressed reading was taken: the switch then counts as 0 Ω. */
      readonly switchKnown: boolean;
      /**
       * How low a leak across the device may fall before the resting line drops out of high; 0
       * where no leak at the device, however low, can do that [Ω].
       */
      readonly rest: Estimate;
    }
  | {
      /** A figure that the margins stand on is not known: `askFor` says in words what. */
      readonly kind: "ask";
      readonly missing: readonly MissingFigure[];
    };

/** A figure that is missing, by its key in the pool file. */
export type MissingFigure = "supply.source_ohms" | "timer_input.low_max" | "timer_input.high_min";

/** What one reading at the last point must show for its circuit to be accepted on it alone. */
export interface ReadingAcceptance {
  /** The pool's first meter: the limit is meant for it. */
  readonly meter: string;
  /** Its display step [V]. */
  readonly step: number;
  /** Standard uncertainty of one reading: noise and display step [V]. */
  readonly readingSd: number;
  /** How far above the limit the reading must stand for the risk to be tolerated [V]. */
  readonly guardBand: number;
  /** Limit plus guard band [V]. */
  readonly acceptanceLimit: number;
  /** The risk that is tolerated: P(true value under the limit). */
  readonly tolerated: number;
}

/** One circuit against the timer's thresholds. */
export interface CircuitStanding extends CircuitName {
  readonly margins: Margins;
}

/** All circuits of one walk. */
export interface WalkStanding {
  readonly acceptance: ReadingAcceptance;
  readonly circuits: readonly CircuitStanding[];
}
