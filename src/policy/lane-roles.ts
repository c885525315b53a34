import { type CircuitName, circuitKey, isAtLane, isOfLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { failureCost, type LaneNeeds, sharedFailureCosts } from "./lane-cost.ts";

/** The circuits that a lane's timing hangs on, the first device's first. */
interface LaneRoles {
  readonly circuits: readonly CircuitName[];
}

/** A circuit that no lane's timing needs still has a use: this part of a lost lane. Judgement. */
const UNNEEDED = 0.02;

/** The lane's needed circuits: as the pool file says, else its first device and all others behind. */
function rolesOf(pool: Pool, lane: Pool["lanes"][number]): LaneRoles {
  const own = pool.circuits.filter((each) => isAtLane(each, lane));
  const needs = pool.laneNeeds;
  if (needs === null) return { circuits: own };
  const named = (device: string): readonly CircuitName[] =>
    own.filter((each) => each.device === device);
  return { circuits: [...named(needs.first), ...needs.fallBack.flatMap(named)] };
}

/** P(a circuit's device fails in a meet). */
export type FailureChances = (circuit: CircuitName) => number;

/** What each circuit's failure in a meet costs, in lost lanes. */
export type CircuitCosts = (circuit: string) => number;

/**
 * What each circuit's failure costs where the other devices of its lane fail as given. A circuit of
 * no lane counts as a lane of its own. `together`: prices that several failing devices share, so that
 * they add up to the lane's cost; else each by itself, the others' chances as they are.
 */
export function failureCostsOf(
  pool: Pool,
  fallbackCost: number,
  failing: FailureChances,
  together = false,
): CircuitCosts {
  const needs: LaneNeeds = { atLeast: pool.laneNeeds?.atLeast ?? 1, fallbackCost };
  const costs = new Map<string, number>();
  for (const lane of pool.lanes) {
    const { circuits } = rolesOf(pool, lane);
    const chances = circuits.map(failing);
    const shared = together ? sharedFailureCosts(chances, needs) : null;
    for (const [k, circuit] of circuits.entries()) {
      const cost = shared?.[k] ?? failureCost(chances, k, needs);
      costs.set(circuitKey(circuit), Math.max(UNNEEDED, cost));
    }
  }
  for (const circuit of pool.circuits) if (!isOfLane(circuit)) costs.set(circuitKey(circuit), 1);
  return (circuit) => costs.get(circuit) ?? UNNEEDED;
}
