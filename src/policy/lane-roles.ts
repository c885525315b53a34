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
  const costOf: CostOf = (failing) => {
    const works = devices.map((device) =>
      circuits.reduce(
        (all, one, k) => all * (one.devices.includes(device) ? 1 - failing[k]! : 1),
        1,
      ),
    );
    return laneCost(
      works.map((chance) => 1 - chance),
      needs,
      fallbackCost,
    );
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

/** What a meet loses where all these circuits fail and the rest work, in lost lanes. */
export function lossTogether(
  pool: Pool,
  fallbackCost: number,
  circuits: ReadonlySet<string>,
): number {
  const fails = (circuit: CircuitName): number => (circuits.has(circuitKey(circuit)) ? 1 : 0);
  let lost = pool.circuits.filter((one) => !isOfLane(one) && fails(one) > 0).length;
  for (const lane of pool.lanes) {
    const roles = rolesOf(pool, lane, fallbackCost);
    if (roles !== null) lost += roles.costOf(roles.circuits.map(fails));
  }
  return Math.max(UNNEEDED, lost);
}

/** Something that may befall a lane, independent of all else, and the circuits that it takes. */
interface Trouble {
  readonly takes: ReadonlySet<string>;
  readonly chance: number;
}

/**
 * P(the lane is lost) under troubles. What takes all of its circuits at once stands apart; others are
 * taken for independent between circuits.
 */
export function lostLane(pool: Pool, lane: Lane): (troubles: readonly Trouble[]) => number {
  const roles = rolesOf(pool, lane, 0);
  if (roles === null) return () => 0;
  const keys = roles.circuits.map(circuitKey);
  return (troubles) => {
    let spared = 1;
    const works = keys.map(() => 1);
    for (const { takes, chance } of troubles) {
      if (keys.every((key) => takes.has(key))) spared *= 1 - chance;
      else for (const [k, key] of keys.entries()) if (takes.has(key)) works[k]! *= 1 - chance;
    }
    const lost = roles.costOf(works.map((chance) => 1 - chance));
    return 1 - spared * (1 - lost);
  };
}
