import { dayText } from "../domain/calendar.ts";
import { lastPoint } from "../domain/circuit.ts";
import { type Costs, connectorCosts, costsOf } from "../domain/costs.ts";
import { type Action, actions, isStep } from "../domain/courses.ts";
import {
  type ConnectorPlace,
  connectorPlace,
  type Decision,
  type ReadAgain,
} from "../domain/decision.ts";
import { SUSPECT, type WalkDiagnosis } from "../domain/findings.ts";
import { circuitOf, samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { hadSomethingToCure } from "../history/cleaning-score.ts";
import type { PoolTrend } from "../history/trend.ts";
import { stillLow } from "./contact-view.ts";
import type { WeighedConnector } from "./decide-pool.ts";
import { decideWalk, type WalkDecision } from "./decide-walk.ts";
import { lookPrice } from "./work-prices.ts";
import { isDecidedOn, workSince } from "./work-since.ts";

/** Weeks that a connector's cleanings held: others had nothing to hold. */
function heldBy(trend: PoolTrend | null, place: ConnectorPlace): Decision["weeksHeld"] {
  const record = trend?.cleanings.connectors.find((each) => samePlace(each, place));
  return (record?.cleanings ?? [])
    .filter(hadSomethingToCure)
    .flatMap(({ weeksHeld, heldUntil }) =>
      weeksHeld === null ? [] : [{ weeks: weeksHeld, atLeast: heldUntil !== "trouble" }],
    );
}

/** What a course costs; a look where there is one. */
const costOf = ({ costs, look }: WeighedConnector, course: Action): number =>
  course === "look" ? look!.cost : costs[course];

/** A walk's decision as it is said. */
function decisionOf(
  pool: Pool,
  trend: PoolTrend | null,
  costs: Costs,
  { finding, kind, weighed, worst, season }: WalkDecision,
): Decision {
  const { atFault } = finding;
  const place = connectorPlace(finding);
  const own = connectorCosts(costs, place);
  const gain = weighed.costs.clean - weighed.costs.replace;
  const breakEven = own.part + gain;
  return {
    place,
    atFault,
    open: worst.open,
    film: 1 - season.oxide,
    weeksHeld: heldBy(trend, place),
    action: weighed.action,
    ifNoBreak: weighed.look?.inVain ?? null,
    sure: weighed.sure,
    presentCost: costOf(weighed, weighed.action),
    courses: actions
      .filter((each) => each !== "look" || weighed.look !== null)
      .map((each) => ({
        kind: each,
        presentCost: costOf(weighed, each),
        chanceBest: isStep(each) ? weighed.chances[each] : 0,
      })),
    thresholds: {
      first: weighed.rule.first,
      cleanUnder: weighed.rule.cleanUnder,
      replaceUnder: weighed.rule.replaceUnder,
      replaceAfter: weighed.rule.replaceAfter,
    },
    lastPoint: lastPoint(circuitOf(pool, worst)!),
    lookMinutes: costs.lookMinutes,
    cleanMinutes: own.cleanMinutes,
    replaceMinutes: own.replaceMinutes,
    lookCost: lookPrice(costs),
    cleanCost: kind.prices.clean,
    replaceCost: kind.prices.replace,
    breakEvenPart: breakEven > 0 ? breakEven : null,
    stillLowAfterCleaning: stillLow(season),
  };
}

/**
 * What to do about every suspect of a walk that was not worked on since, the likeliest at fault
 * first. `progress` is told how many are behind. Without a season (`trend` null) growth and film are
 * as assumed before any.
 */
export function decide(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  costs: Costs = costsOf(pool),
  progress: (done: number, of: number) => void = () => {},
): readonly Decision[] {
  const decided = decideWalk(
    { pool, walk, trend, costs },
    (finding) => isDecidedOn(walk, trend, finding),
    progress,
  );
  return decided.map((each) => decisionOf(pool, trend, costs, each));
}

/** The other suspects: what was done to them since the walk, in the order of its ranking. */
export function toReadAgain(walk: WalkDiagnosis, trend: PoolTrend | null): readonly ReadAgain[] {
  return walk.connectors.flatMap((finding): ReadAgain[] => {
    const { atFault } = finding;
    const done = workSince(walk, trend, finding);
    if (atFault < SUSPECT || done === null) return [];
    return [
      { place: connectorPlace(finding), atFault, action: done.action, date: dayText(done.day) },
    ];
  });
}
