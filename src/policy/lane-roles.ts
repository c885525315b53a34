import type { Circuit } from "../domain/circuit.ts";
import type { Costs } from "../domain/costs.ts";
import { neededDevices, needsOf } from "../domain/lane-needs.ts";
import { type CircuitName, circuitKey, isAtLane, isOfLane, type Lane } from "../domain/place.ts";
import type { LaneNeeds, Pool } from "../domain/pool.ts";
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

/** A lane as its timing sees it: the circuits that it hangs on, and which of them each device is on. */
interface LaneRoles {
  readonly needs: LaneNeeds;
  readonly circuits: readonly Circuit[];
  /** Where those stand in the pool. */
  readonly indices: readonly number[];
  /** By device that is needed: its circuits among those of the lane. */
  readonly passing: readonly (readonly number[])[];
}

/** A pool's circuits as its lanes' timing sees them. */
interface PoolRoles {
  readonly lanes: readonly LaneRoles[];
  /** By circuit: the part of a lane that is lost with it by itself, beside what its lanes lose. */
  readonly alone: Float64Array;
}

/** Lanes of a pool, laid out once. */
const laidOut = new WeakMap<Pool, PoolRoles>();

function poolRoles(pool: Pool): PoolRoles {
  const known = laidOut.get(pool);
  if (known !== undefined) return known;
  const lanes = pool.lanes.flatMap((lane) => rolesOf(pool, lane) ?? []);
  const needed = new Set(lanes.flatMap(({ circuits }) => circuits));
  const alone = Float64Array.from(pool.circuits, (one) =>
    isOfLane(one) ? (needed.has(one) ? 0 : UNNEEDED) : 1,
  );
  const made = { lanes, alone };
  laidOut.set(pool, made);
  return made;
}

function rolesOf(pool: Pool, lane: Lane): LaneRoles | null {
  const needs = needsOf(pool, lane);
  if (needs === null) return null;
  const devices = neededDevices(needs);
  const indices = [...pool.circuits.keys()].filter((index) => {
    const one = pool.circuits[index]!;
    return isAtLane(one, lane) && one.devices.some((device) => devices.includes(device));
  });
  const circuits = indices.map((index) => pool.circuits[index]!);
  const passing = devices.map((device) =>
    circuits.flatMap((one, k) => (one.devices.includes(device) ? [k] : [])),
  );
  return { needs, circuits, indices, passing };
}

/**
 * A device fails where any of its circuits does: one at each end, and what it is stacked on.
 *
 * @param passing by device: its circuits, as indices of what is then given
 */
function costOf(
  needs: LaneNeeds,
  passing: LaneRoles["passing"],
  fallbackCost: number,
): (failing: ArrayLike<number>) => number {
  // A memo asks for a lane's cost hundreds of thousands of times: no array is made for each.
  const fails = passing.map(() => 0);
  return (failing) => {
    for (let device = 0; device < passing.length; device++) {
      const all = passing[device]!;
      let works = 1;
      for (let k = 0; k < all.length; k++) works *= 1 - failing[all[k]!]!;
      fails[device] = 1 - works;
    }
    return laneCost(fails, needs, fallbackCost);
  };
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
  for (const roles of poolRoles(pool).lanes) {
    const chances = roles.circuits.map(failing);
    const ofLane: CostOf = costOf(roles.needs, roles.passing, fallbackCost);
    const shared = together ? sharedFailureCosts(chances, ofLane) : null;
    for (const [k, circuit] of roles.circuits.entries()) {
      const cost = shared?.[k] ?? failureCost(chances, k, ofLane);
      costs.set(circuitKey(circuit), Math.max(UNNEEDED, cost));
    }
  }
  for (const circuit of pool.circuits) if (!isOfLane(circuit)) costs.set(circuitKey(circuit), 1);
  return (circuit) => costs.get(circuit) ?? UNNEEDED;
}

/**
 * Lanes that a meet is expected to lose where circuits fail as given, a lane on its fall-backs counted
 * at their cost: the sum that `failureCostsOf` shares out. Chances in the order of the pool's circuits.
 */
export function lanesLost(
  pool: Pool,
  fallbackCost: number,
): (failing: ArrayLike<number>) => number {
  const { lanes, alone } = poolRoles(pool);
  const costs = lanes.map(({ needs, passing, indices }) => {
    const inPool = passing.map((all) => all.map((k) => indices[k]!));
    return costOf(needs, inPool, fallbackCost);
  });
  return (failing) => {
    let lost = 0;
    for (let lane = 0; lane < costs.length; lane++) lost += costs[lane]!(failing);
    for (let index = 0; index < alone.length; index++) lost += alone[index]! * failing[index]!;
    return lost;
  };
}
