import type { StateChances } from "../inference/problem.ts";

/** Chances of a contact's states, its body being clean and being contaminated. */
export type CarriedStates = readonly [clean: StateChances, contaminated: StateChances];

/** What is believed of one circuit before a walk. */
export interface CarriedCircuit {
  /** By link. */
  readonly states: readonly CarriedStates[];
  /** Where contacts hang together: parts of that, each with its chance; null: they do not. */
  readonly patterns:
    | readonly { readonly chance: number; readonly states: readonly CarriedStates[] }[]
    | null;
}

/** What earlier walks, and the works since, leave to a walk: its priors, for the pool file's. */
export interface Carried {
  /** By the pool's circuits. */
  readonly circuits: readonly CarriedCircuit[];
  /** By the pool's connectors: P(the body is contaminated). */
  readonly contaminated: readonly number[];
  /** The walks that they come from, in the order of time. */
  readonly informedBy: readonly string[];
}
