import type { Carried } from "../diagnosis/carried.ts";
import { type SaidAlone, saidAlone } from "../diagnosis/said-alone.ts";
import { isMisfit } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import { carryOver, type SeenWalk, type WalkTime } from "./carried/carry-over.ts";
import type { TimedWalk } from "./diagnose-season.ts";
import { askOnce, type Keeper, noKeeper } from "./keeper.ts";

/**
 * So many walks before a walk inform it, the latest ones: each takes a diagnosis of its own wherever
 * a walk is shown, and those before them move what is believed by little.
 */
const MOST_WALKS = 2;

type WalkMoment = Pick<TimedWalk, "day" | "seconds">;

/** A walk diagnosed by itself, as far as the walks after it ask. */
interface DiagnosedAlone extends WalkMoment {
  readonly diagnosis: SaidAlone;
}

/** Whether a walk says anything to those after it: the model fits it. */
const informs = ({ diagnosis: { fit, likelihoods } }: DiagnosedAlone): boolean =>
  likelihoods.length > 0 && !isMisfit(fit);

/**
 * What a walk starts from: what the walks before it and the works since leave; null where none does.
 * A walk without a date stands alone, and so does every walk of the first version's model.
 *
 * @param before Walks before it, in the order of time.
 * @param alone What one of them says by itself: asked of the few that may inform it.
 */
export function startOf<Before extends { readonly day: number | null }>(
  pool: Pool,
  before: readonly Before[],
  work: readonly WorkEntry[],
  { day, seconds }: WalkMoment,
  alone: (walk: Before) => DiagnosedAlone,
): Carried | null {
  if (day === null || pool.model.plain) return null;
  const seen = before
    .filter((one) => one.day !== null && one.day <= day)
    .slice(-MOST_WALKS)
    .map(alone)
    .filter(informs)
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

/** What a walk says by itself, unless it was asked before. */
function saidBy(pool: Pool, walk: TimedWalk, keeper: Keeper): SaidAlone {
  const readings = walk.readings();
  const question = { what: "walk-alone", walk: walk.walk, from: [pool, readings] } as const;
  return askOnce(keeper, question, () => saidAlone(pool, readings));
}

/**
 * What each of some walks starts from. Walks before it are diagnosed alone when they are asked for
 * first, unless the keeper knows what they say, and only what later walks need of that is kept. Null
 * where a walk stands alone.
 *
 * @param walks In the order of time.
 */
export function walkStarts(
  pool: Pool,
  walks: readonly TimedWalk[],
  work: readonly WorkEntry[],
  keeper: Keeper = noKeeper,
): (walk: TimedWalk) => Carried | null {
  const known = new Map<TimedWalk, DiagnosedAlone>();
  const alone = (one: TimedWalk): DiagnosedAlone => {
    const { day, seconds } = one;
    const found = known.get(one) ?? { day, seconds, diagnosis: saidBy(pool, one, keeper) };
    known.set(one, found);
    return found;
  };
  return (walk) => startOf(pool, walks.slice(0, walks.indexOf(walk)), work, walk, alone);
}
