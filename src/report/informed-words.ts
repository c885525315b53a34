import type { WalkDiagnosis } from "../domain/findings.ts";

/** Which earlier walks a walk starts from, as a sentence; none where it stands alone. */
export function informedLines({
  informedBy,
}: Pick<WalkDiagnosis, "informedBy">): readonly string[] {
  const last = informedBy.at(-1);
  if (last === undefined) return [];
  const others = informedBy.slice(0, -1).join(", ");
  return [
    others === ""
      ? `Starts from what the walk ${last} left.`
      : `Starts from what the walks ${others} and ${last} left.`,
  ];
}
