import type { Circuit } from "../domain/circuit.ts";
import type { Costs } from "../domain/costs.ts";
import { neededDevices, needsOf } from "../domain/lane-needs.ts";
import { type CircuitName, circuitKey, isAtLane, isOfLane, type Lane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { type CostOf, failureCost, laneCost, sharedFailureCosts } from "./lane-cost.ts";

/** A circuit that no lane's timing needs still has a use: this part of a lost lane. Judgement. */
const UNNEEDED = 0.02;

/** P(a circuit's device fails in a meet). */
export type FailureChances = (circuit: CircuitName) => number;

/** What each circuit's failure in a meet costs, in lost lanes. */
export type CircuitCosts = (circuit: string) => number;

/** Share of the lanes that a meet swims in. */
export const shareInUse = ({ lanes }: Pool, { lanesAtRisk }: Pick<Costs, "lanesAtRisk">): number =>
  Math.min(1, (lanesAtRisk ?? lanes.length) / lanes.length);

/** A lane as its timing sees it: the circuits that it hangs on, and what their failing costs. */
interface LaneRoles {
  readonly circuits: readonly Circuit[];
  readonly costOf: CostOf;
}

/** A device fails where any of its circuits does: one at each end, and what it is stacked on. */
function rolesOf(pool: Pool, lane: Lane, fallbackCost: number): LaneRoles | null {
  const needs = needsOf(pool, lane);
  if (needs === null) return null;
  const devices = neededDevices(needs);
  const circuits = pool.circuits.filter(
    (one) => isAtLane(one, lane) && one.devices.some((device) => devices.includes(device)),
  );
  const passing = devices.map((device) =>
    circuits.flatMap((one, k) => (one.devices.includes(device) ? [k] : [])),
  );
  const costOf: CostOf = (failing) => {
    const fails = passing.map((all) => 1 - all.reduce((works, k) => works * (1 - failing[k]!), 1));
    return laneCost(fails, needs, fallbackCost);
  };
  return { circuits, costOf };
}

/**
 * What each circuit's failure costs where the other devices of its lane fail as given. A circuit of
 * no lane counts as a lane of its own. `together`: prices that several failing circuits share, so that
 * they add up to the lane's cost; else each by itself, the others' chances as they are.
 */
export function failureCostsOf(
  pool: Pool,
  fallbackCost: number,
  failing: FailureChances,
  together = false,
): CircuitCosts {
  const costs = new Map<string, number>();
  for (const lane of pool.lanes) {
    const roles = rolesOf(pool, lane, fallbackCost);
    if (roles === null) continue;
    const chances = roles.circuits.map(failing);
    const shared = together ? sharedFailureCosts(chances, roles.costOf) : null;
    for (const [k, circuit] of roles.circuits.entries()) {
      const cost = shared?.[k] ?? failureCost(chances, k, roles.costOf);
      costs.set(circuitKey(circuit), Math.max(UNNEEDED, cost));
    }
  }
  for (const circuit of pool.circuits) if (!isOfLane(circuit)) costs.set(circuitKey(circuit), 1);
  return (circuit) => costs.get(circuit) ?? UNNEEDED;
}

/**
 * Lanes that a meet is expected to lose where circuits fail as given, a lane on its fall-backs counted
 * at their cost: the sum that `failureCostsOf` shares out.
 */
export function lanesLost(
  pool: Pool,
  fallbackCost: number,
): (failing: (circuit: Circuit) => number) => number {
  const lanes = pool.lanes.flatMap((lane) => {
    const roles = rolesOf(pool, lane, fallbackCost);
    return roles === null ? [] : [roles];
  });
  const needed = new Set(lanes.flatMap(({ circuits }) => circuits));
  const spare = pool.circuits.filter((one) => isOfLane(one) && !needed.has(one));
  const alone = pool.circuits.filter((one) => !isOfLane(one));
  const sum = (circuits: readonly Circuit[], failing: (circuit: Circuit) => number): number =>
    circuits.reduce((all, one) => all + failing(one), 0);
  return (failing) =>
    lanes.reduce((all, { circuits, costOf }) => all + costOf(circuits.map(failing)), 0) +
    UNNEEDED * sum(spare, failing) +
    sum(alone, failing);
}
