import type { StateLikelihoods } from "../domain/findings.ts";
import type { PinnedStates } from "../inference/chain/pinned-states.ts";
import type { WalkInference } from "../inference/infer.ts";
import type { PosedWalk } from "./walk-problem.ts";

/**
 * What the readings say of each circuit's contacts, without what was believed of them before: how
 * likely all readings of the walk are, whichever contact is the first faulty one and however it fails.
 */
export const ownLikelihoods = (
  { circuits }: PosedWalk,
  found: WalkInference,
): readonly StateLikelihoods[] =>
  circuits.map(({ lane, device, end }, c) => ({
    lane,
    device,
    end,
    ...likelihoodsOf(found.circuits[c]!.pinned),
  }));

/** Likelihoods smaller than this, beside the largest, are the rounding of integrals. */
const LEAST = 1e-9;

function likelihoodsOf({
  sound,
  first,
  steady,
  shaky,
}: PinnedStates): Pick<StateLikelihoods, "sound" | "first" | "steady" | "shaky"> {
  const most = Math.max(sound, ...first.flatMap((own) => [...own]));
  const least = LEAST * most;
  const within = (value: number): number => Math.max(least, value) / most;
  return {
    sound: within(sound),
    first: first.map((own) => Array.from(own, within)),
    steady: steady.map((own) => behindFault(own, least)),
    shaky: shaky.map((own) => behindFault(own, least)),
  };
}

/** Of each state, by its mean over them; 1 where a fault in front is ruled out. */
function behindFault(own: Float64Array, least: number): readonly number[] {
  const mean = own.at(-1)!;
  return Array.from(own.subarray(0, -1), (value) =>
    mean > least ? Math.max(LEAST, value / mean) : 1,
  );
}
