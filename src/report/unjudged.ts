import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Reading } from "../domain/reading.ts";

/**
 * Why a walk says nothing of any path: more than half of its readings at rest are doubted, and no
 * circuit is sound or weak. Null for a walk that can be judged.
 */
export function unjudgedWords(
  { circuits, readAgain }: WalkDiagnosis,
  readings: readonly Reading[],
): string | null {
  const resting = readings.filter(({ state }) => state === "rest").length;
  const decided = circuits.some(({ verdict }) => verdict !== "read-again");
  const doubted = readAgain.filter(({ shown }) => shown !== null).length;
  if (decided || 2 * doubted <= resting) return null;
  return (
    `this walk cannot be judged. ${doubted} of its ${resting} readings are doubted, and ` +
    "no circuit is sound or weak. Read them again first (dropwise check lists them)."
  );
}
