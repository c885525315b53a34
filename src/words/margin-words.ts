import type { Margins, MissingFigure } from "../domain/margins.ts";

/** How far circuits are from a missed touch and from a false one. */
export interface MarginWords {
  /** What to ask the timer's maker for, by the pool file's keys. */
  readonly ask: (missing: readonly MissingFigure[]) => string;
  /** The list's title, with the thresholds where the pool file has them [V]. */
  readonly title: (
    timerInput: { readonly lowMax: number; readonly highMin: number } | null,
  ) => string;
  /** A circuit's two margins, as the end of its sentence. */
  readonly both: (margins: Extract<Margins, { readonly kind: "known" }>) => string;
  /** The circuits that have no line, the lowest of their touch margins being this [Ω]. */
  readonly others: (count: number, least: number) => string;
  /** What the star means. */
  readonly unpressed: string;
  /** The circuits that may miss touches already, and how many more. */
  readonly missing: (circuits: readonly string[], more: number) => string;
}
