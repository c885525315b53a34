import type { WorkAction } from "../../domain/work.ts";

/**
 * What happened between one stage of a contact and the stage before it. `chance`: of the step having
 * come at all, by what all contacts show.
 */
export type Entry =
  | { readonly kind: "start"; readonly known: boolean }
  | { readonly kind: "worked"; readonly action: Exclude<WorkAction, "replaced"> }
  | { readonly kind: "step"; readonly chance: number }
  | { readonly kind: "stroke" };

/**
 * A stretch of a contact's life in which it does nothing but grow. Levels of a stage are those at
 * `ends`, so that all stages between two works share one scale; time is in weeks of growth.
 */
export interface Stage {
  readonly entry: Entry;
  /** Walks: from, up to. */
  readonly from: number;
  readonly to: number;
  /** Weeks of growth from the work (or first walk) that began it to `ends`. */
  readonly weeks: number;
  /** On the season's clock. */
  readonly ends: number;
}

/** One contact from a first walk or a new part to the last walk or the next new part. */
export interface ContactLife {
  readonly path: number;
  /** Position on the path, from the timer out. */
  readonly position: number;
  readonly group: number;
  readonly stages: readonly Stage[];
}

/** What works do to a contact, and steps. */
export interface JumpLaw {
  /** P(a cleaning brings it back to its floor). */
  readonly cure: number;
  /** P(a step touches it), and the mean of its exponential rise [ln ohm]. */
  readonly touched: number;
  readonly rise: number;
}
