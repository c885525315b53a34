import type { ExplanationKind, RivalKind } from "../domain/explanation-kinds.ts";
import type { Estimate, Explanation } from "../domain/findings.ts";

/** What an explanation's words are about, its supply and meter looked up. */
export interface ToldExplanation {
  readonly one: Explanation;
  /** What the walk found of the supply in question [V]. */
  readonly found: Estimate;
  /** What the pool file says of it [V]. */
  readonly nominal: number;
  /** The facility has more supplies than one. */
  readonly hasSeveral: boolean;
  /** The load that the pool file gives the meter in question [Ω]; null where it gives none. */
  readonly loadOhms: number | null;
}

/** An explanation in plain words, and the reading that would tell it from the contacts. */
export interface ExplanationTold {
  readonly words: string;
  readonly wouldTell: string;
}

/** What else may explain a walk's readings, by code. */
export interface ExplanationWords {
  /** How one is introduced: by whether it is more likely than all else together. */
  readonly labels: Readonly<Record<"likely" | "not-ruled-out", string>>;
  /** What stands between the explanation and what would tell. */
  readonly toTell: string;
  /** What would make a walk fit, said behind a colon. */
  readonly wouldFit: Readonly<Record<RivalKind, string>>;
  readonly kinds: Readonly<Record<ExplanationKind, (told: ToldExplanation) => ExplanationTold>>;
}
