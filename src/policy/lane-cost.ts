import { gaussLegendre } from "../numerics/gauss-legendre.ts";

/**
 * What a meet loses with a lane whose devices may each fail.
 *
 * With the first device at work nothing is lost. With it out, and at least `atLeast` of the
 * fall-backs at work, the lane is timed by them, which costs the part `fallbackCost` of a lost lane;
 * else the lane is lost. Given the contacts, devices fail independently: of one fall-back that is
 *
 *     lost lane * (p1 p2 + fallbackCost p1 (1 - p2))
 */
export interface LaneNeeds {
  /** Fall-backs that must work. */
  readonly atLeast: number;
  /** Cost of a lane timed by its fall-backs, as a part of a lost lane, 0 to 1. */
  readonly fallbackCost: number;
}

/** P(fewer than so many of independent devices work); chances are of failing. */
function fewerWork(failing: readonly number[], atLeast: number): number {
  // Poisson-binomial: chances of 0, 1, ... devices at work, one device after another.
  let working = [1];
  for (const fails of failing) {
    const next = new Array<number>(working.length + 1).fill(0);
    for (const [count, chance] of working.entries()) {
      next[count]! += chance * fails;
      next[count + 1]! += chance * (1 - fails);
    }
    working = next;
  }
  return working.slice(0, atLeast).reduce((sum, chance) => sum + chance, 0);
}

/**
 * Expected cost of a lane in one meet, in lost lanes.
 *
 * @param failing P(each device fails in the meet), the first device first
 */
export function laneCost(failing: readonly number[], needs: LaneNeeds): number {
  const [first, ...others] = failing;
  if (first === undefined) return 0;
  if (others.length === 0) return first;
  const lost = fewerWork(others, needs.atLeast);
  return first * (lost + needs.fallbackCost * (1 - lost));
}

/** What one device's failure adds to the lane's cost, the others as they are, in lost lanes. */
export function failureCost(failing: readonly number[], device: number, needs: LaneNeeds): number {
  const at = (chance: number): number =>
    laneCost(
      failing.map((each, k) => (k === device ? chance : each)),
      needs,
    );
  return at(1) - at(0);
}

/** Nodes of Gauss and Legendre on (0, 1): exact for the polynomial that a lane of ten devices has. */
const along = gaussLegendre(6);

/**
 * What each device's failure costs where several fail together: prices that add up to the lane's
 * cost, `sum of p_k price_k = cost(p)`, each the mean of its own addition while all chances grow from
 * none to what they are.
 *
 * Source: Aumann and Shapley, "Values of Non-Atomic Games" (1974), from memory.
 */
export const sharedFailureCosts = (failing: readonly number[], needs: LaneNeeds): number[] =>
  failing.map((_, device) =>
    along.nodes.reduce((sum, node, k) => {
      const grown = failing.map((chance) => ((1 + node) / 2) * chance);
      return sum + (along.weights[k]! / 2) * failureCost(grown, device, needs);
    }, 0),
  );
