import type { Carried } from "../diagnosis/carried.ts";
import { isMisfit, type WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import { carryOver, type SeenWalk, type WalkTime } from "./carried/carry-over.ts";

/**
 * So many walks before a walk inform it, the latest: a fault heals at 1 in 100 a week and what comes
 * later says more, so that earlier ones move what is believed by less than they cost.
 */
const MOST_WALKS = 8;

/** A walk diagnosed by itself, as far as the walks after it ask. */
export interface DiagnosedAlone {
  readonly day: number | null;
  readonly seconds: number | null;
  readonly diagnosis: Pick<WalkDiagnosis, "walk" | "fit" | "likelihoods">;
}

/** Whether a walk says anything to those after it: it has a date, and the model fits it. */
const mayInform = ({ day, diagnosis: { fit, likelihoods } }: DiagnosedAlone): boolean =>
  day !== null && likelihoods.length > 0 && !isMisfit(fit);

/**
 * What a walk starts from: what the walks before it and the works since leave; null where none does.
 * A walk without a date stands alone, and so does every walk of the first version's model.
 *
 * @param before Walks before it, in the order of time, each diagnosed alone.
 */
export function startOf(
  pool: Pool,
  before: readonly DiagnosedAlone[],
  work: readonly WorkEntry[],
  { day, seconds }: Pick<DiagnosedAlone, "day" | "seconds">,
): Carried | null {
  if (day === null || pool.model.plain) return null;
  const seen = before
    .filter((one) => mayInform(one) && one.day! <= day)
    .slice(-MOST_WALKS)
    .map(
      (one): SeenWalk => ({
        walk: one.diagnosis.walk,
        day: one.day!,
        seconds: one.seconds,
        likelihoods: one.diagnosis.likelihoods,
      }),
    );
  const time: WalkTime = { day, seconds };
  return seen.length === 0 ? null : carryOver(pool, seen, work, time);
}

/** The walks that `startOf` may ask for, of those before a walk: each must be diagnosed alone. */
export const mayBeAsked = <Walk extends { readonly day: number | null }>(
  pool: Pool,
  before: readonly Walk[],
): readonly Walk[] =>
  pool.model.plain ? [] : before.filter(({ day }) => day !== null).slice(-MOST_WALKS);
