import type { WalkDiagnosis } from "../domain/findings.ts";
import type { WalkStanding } from "../domain/margins.ts";
import type { Reading } from "../domain/reading.ts";

/**
 * Why a walk says nothing of any path: more than half of its readings at rest are doubted, and no
 * circuit is accepted or rejected. Null for a walk that can be judged.
 */
export function unjudgedWords(
  { takeAgain }: WalkDiagnosis,
  { circuits }: WalkStanding,
  readings: readonly Reading[],
): string | null {
  const resting = readings.filter(({ state }) => state === "rest").length;
  const decided = circuits.some(({ verdict }) => verdict !== "undecided");
  if (decided || 2 * takeAgain.length <= resting) return null;
  return (
    `this walk cannot be judged. ${takeAgain.length} of its ${resting} readings are doubted, and ` +
    "every path is undecided. Take them again first (dropwise check lists them)."
  );
}
