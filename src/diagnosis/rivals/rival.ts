import type { RivalKind } from "../../domain/explanation-kinds.ts";
import type { WalkProblem } from "../../inference/problem.ts";

/** Another way in which a whole walk may have come about. */
export interface Rival {
  readonly kind: RivalKind;
  /** The walk as it is if this holds. */
  readonly problem: WalkProblem;
  /** ln of the prior odds against the model as it stands. */
  readonly logOdds: number;
  /** ln of how much more evidence all rivals of its kind and form have than this one of them. */
  readonly logSpread: number;
  /** ln of the evidence over the model's, near enough to say what is worth an exact run. */
  readonly logRatio: number;
  /** Circuit that it is about, by number, and a link of it; null: the walk. */
  readonly circuit: number | null;
  readonly link: number | null;
  /** The other circuit or link, where there are two. */
  readonly other: number | null;
}
