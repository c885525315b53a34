import type { ContactLife } from "./contact-life.ts";
import type { PathValues } from "./path-values.ts";

/** What is expected of a supply before any walk: mean of its EMF, and sd of one walk's [V]. */
export interface SupplyBefore {
  readonly emf: number;
  readonly emfSd: number;
}

/** A season as plain numbers: all that the growth of its contacts is learnt from. */
export interface SeasonData {
  /** Days of the walks, in the order of time. */
  readonly days: Float64Array;
  /** Weeks on the season's clock of each walk, growth in idle weeks counted by its factor. */
  readonly clock: Float64Array;
  readonly supplies: readonly SupplyBefore[];
  /** Of the supply's drift over one walk [V]. */
  readonly driftSd: number;
  /** ln ohms just after a cleaning: mean, sd. */
  readonly floor: { readonly mean: number; readonly sd: number };
  /** A contact that grows not, but was fouled when the first walk came: chance, ln ohms. */
  readonly fouled: { readonly chance: number; readonly mean: number; readonly sd: number };
  /** Contacts that foul at a stroke. */
  readonly strokes: {
    /** By class [a week]. */
    readonly perWeek: readonly number[];
    /** Where they then stand: shares of normals of ln ohms. */
    readonly levels: readonly {
      readonly share: number;
      readonly mean: number;
      readonly sd: number;
    }[];
  };
  readonly paths: readonly PathValues[];
  /** By path, by position: the lives of the contact there, the present one last. */
  readonly lives: readonly (readonly (readonly ContactLife[])[])[];
  /** Number of classes. */
  readonly groups: number;
}
