import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Reading } from "../domain/reading.ts";
import type { Words } from "../words/words.ts";

/**
 * Why a walk says nothing of any path: more than half of its readings at rest are doubted, and no
 * circuit is sound or weak. Null for a walk that can be judged.
 */
export function unjudgedWords(
  { circuits, readAgain }: WalkDiagnosis,
  readings: readonly Reading[],
  { decide }: Words,
): string | null {
  const resting = readings.filter(({ state }) => state === "rest").length;
  const decided = circuits.some(({ verdict }) => verdict !== "read-again");
  const doubted = readAgain.filter(({ shown }) => shown !== null).length;
  if (decided || 2 * doubted <= resting) return null;
  return decide.unjudged(doubted, resting);
}
