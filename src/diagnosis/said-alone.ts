import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { fitFound } from "./fit/fit-found.ts";
import { ownLikelihoods } from "./own-likelihoods.ts";
import { shelfOf } from "./pool-shelf.ts";
import { weighRivals } from "./rivals/weigh-rivals.ts";
import { poseWalk } from "./walk-problem.ts";

/** As much of a walk's diagnosis as the walks after it ask. */
export type SaidAlone = Pick<WalkDiagnosis, "walk" | "fit" | "likelihoods">;

/**
 * What a walk says to those after it: the same as `diagnose` has of it, without what only a walk that
 * is shown needs (resistances, bodies, rivals of a walk that fits). Not for the first version's model.
 */
export function saidAlone(pool: Pool, readings: readonly Reading[]): SaidAlone {
  const walk = readings[0]?.walk ?? "";
  if (!readings.some(isResting)) return { walk, fit: { p: null, worst: [] }, likelihoods: [] };
  const posed = poseWalk(pool, readings);
  const { told, fit } = weighRivals(posed.problem, shelfOf(pool), "readings");
  return { walk, fit: fitFound(posed, fit).fit, likelihoods: ownLikelihoods(posed, told) };
}
