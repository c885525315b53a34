import { isLostWith } from "../domain/lane-needs.ts";
import type { LaneNeeds } from "../domain/pool.ts";
import { gaussLegendre } from "../numerics/gauss-legendre.ts";
import { poissonBinomial } from "../numerics/poisson-binomial.ts";

/**
 * What a meet loses with a lane whose devices may each fail.
 *
 * The lane is lost where `lane-needs.ts` says so. Where it is not, and its first device is out, it is
 * timed by its fall-backs, which costs the part `fallbackCost` of a lost lane, 0 to 1. Given the
 * contacts, devices fail independently: of one fall-back, one device being enough, that is
 *
 *     lost lane * (p1 p2 + fallbackCost p1 (1 - p2))
 *
 * @param failing P(each device that the lane needs fails in the meet), the first device first
 */
export function laneCost(
  failing: readonly number[],
  needs: LaneNeeds,
  fallbackCost: number,
): number {
  const first = failing[0];
  if (first === undefined) return 0;
  // With one device enough, its others' failing all together is the only count that matters.
  if (needs.atLeast === 1) {
    let lost = 1;
    for (let k = 1; k < failing.length; k++) lost *= failing[k]!;
    return first * (lost + (1 - lost) * fallbackCost);
  }
  let cost = 0;
  const others = failing.slice(1);
  for (const [working, chance] of poissonBinomial(others.map((fails) => 1 - fails)).entries()) {
    const without = isLostWith(needs, working) ? 1 : fallbackCost;
    const withFirst = isLostWith(needs, working + 1) ? 1 : 0;
    cost += chance * (first * without + (1 - first) * withFirst);
  }
  return cost;
}

/** A lane's cost in a meet by the chances that its circuits fail, in lost lanes. */
export type CostOf = (failing: readonly number[]) => number;

/** What one circuit's failure adds to the lane's cost, the others as they are, in lost lanes. */
export function failureCost(failing: readonly number[], circuit: number, costOf: CostOf): number {
  const at = (chance: number): number =>
    costOf(failing.map((each, k) => (k === circuit ? chance : each)));
  return at(1) - at(0);
}

/** Nodes of Gauss and Legendre on (0, 1): exact for the polynomial that a lane of ten circuits has. */
const along = gaussLegendre(6);

/**
 * What each circuit's failure costs where several fail together: prices that add up to what they add
 * to the lane's cost, `sum of p_k price_k = cost(p) - cost(0)`, each the mean of its own addition
 * while all chances grow from none to what they are.
 *
 * Source: Aumann and Shapley, "Values of Non-Atomic Games" (1974), from memory.
 */
export const sharedFailureCosts = (failing: readonly number[], costOf: CostOf): number[] =>
  failing.map((_, circuit) =>
    along.nodes.reduce((sum, node, k) => {
      const grown = failing.map((chance) => ((1 + node) / 2) * chance);
      return sum + (along.weights[k]! / 2) * failureCost(grown, circuit, costOf);
    }, 0),
  );
