import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Words } from "../words/words.ts";

/** Which earlier walks a walk starts from, as a sentence; none where it stands alone. */
export const informedLines = (
  { informedBy }: Pick<WalkDiagnosis, "informedBy">,
  { check }: Words,
): readonly string[] => (informedBy.length === 0 ? [] : [check.informed(informedBy)]);
