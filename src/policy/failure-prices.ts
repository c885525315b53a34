import { WEEKS_PER_YEAR } from "../domain/calendar.ts";
import type { Costs } from "../domain/costs.ts";
import { circuitKey, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { type ConnectorKind, type LossPrices, PolicyShelf } from "./decide-pool.ts";
import { type CircuitCosts, failureCostsOf, shareInUse } from "./lane-roles.ts";
import { timerSays } from "./path-around.ts";
import { typicalTrouble } from "./typical-failure.ts";

/** What prices are made from. */
interface Priced {
  readonly pool: Pool;
  readonly costs: Costs;
}

/** A meet shows a contact that comes and goes about as often as a reading does. */
export function lossPrices({ pool, costs }: Priced): LossPrices {
  const sure = pool.circuits.some((circuit) => timerSays(pool, circuit));
  const lossChance = sure ? 1 : costs.lossChance.value;
  return {
    lostLaneWeek:
      (costs.meetsPerSeason.value / WEEKS_PER_YEAR) *
      costs.lostLane.value *
      shareInUse(pool, costs),
    lossChance,
    intermittentLoss: Math.max(lossChance, pool.model.badShare),
  };
}

/** Rounds of pricing devices by how the others of their lane are kept. */
const ROUNDS = 2;

/**
 * The shelf of policies, and what each circuit's failure costs.
 *
 * Lanes couple connectors: what a device's failure costs depends on how often the others of its lane
 * fail, and that on how their connectors are kept. So prices come from the policy itself: first the
 * devices fail by themselves only, then as often as contacts kept at those prices let them, twice.
 */
export function pricedShelf(
  { pool, costs }: Priced,
  kinds: readonly ConnectorKind[],
): {
  readonly shelf: PolicyShelf;
  readonly failureCosts: CircuitCosts;
  readonly loss: LossPrices;
} {
  const loss = lossPrices({ pool, costs });
  const horizon = { discountRate: costs.discountRate.value, years: costs.horizonYears.value };
  const shelf = new PolicyShelf(costs.checkWeeks, horizon, loss);
  const own = costs.ownFailure.value;
  const fallback = costs.fallbackCost.value;
  let failureCosts = failureCostsOf(pool, fallback, () => own);
  for (let round = 0; round < ROUNDS; round++) {
    const before = failureCosts;
    failureCosts = failureCostsOf(pool, fallback, (name) => {
      const circuit = circuitOf(pool, name)!;
      let works = 1 - own;
      for (const { connector } of circuit.path) {
        const kind = kinds[connector.index]!;
        const policy = shelf.typicalOf(kind, before(circuitKey(circuit)));
        const { low, open, intermittent } = typicalOnce(policy);
        works *= 1 - (low * loss.lossChance + open + intermittent * loss.intermittentLoss);
      }
      return 1 - works;
    });
  }
  return { shelf, failureCosts, loss };
}

const typical = new WeakMap<object, ReturnType<typeof typicalTrouble>>();
function typicalOnce(solved: Parameters<typeof typicalTrouble>[0]) {
  const known = typical.get(solved) ?? typicalTrouble(solved);
  typical.set(solved, known);
  return known;
}
