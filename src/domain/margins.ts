import type { Estimate } from "./findings.ts";

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
export type MissingFigure =
  | "supply.source_ohms"
  | "timer_input.low_max"
  | "timer_input.high_min"
  | "meters.load_ohms";
