import type { Estimate, WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { WalkInference } from "../inference/infer.ts";
import type { PosedWalk } from "./walk-problem.ts";

/** What a walk's circuits share: supplies, meters, drift; of those that no reading concerns, nothing. */
export function sharedFindings(
  pool: Pool,
  { circuits, order }: PosedWalk,
  { shared }: WalkInference,
): Pick<WalkDiagnosis, "emf" | "supplies" | "loads" | "drift"> {
  const used = new Set(order.readings.map(({ meter }) => meter));
  const fedBy = pool.supplies.map(
    (supply) => circuits.filter((circuit) => circuit.supply.name === supply.name).length,
  );
  const most = fedBy.indexOf(Math.max(...fedBy));
  return {
    emf: shared.emf[most]!,
    supplies: pool.supplies.flatMap(({ name }, s) =>
      fedBy[s]! > 0 ? [{ name, emf: shared.emf[s]!, sourceOhms: shared.sourceOhms[s]! }] : [],
    ),
    loads: pool.meters.flatMap(({ name, noise }, m) =>
      used.has(name)
        ? [{ name, ohms: shared.loadOhms[m]!, noise: times(noise, shared.noiseScale) }]
        : [],
    ),
    drift: shared.drift,
  };
}

const times = (factor: number, { median, low, high }: Estimate): Estimate => ({
  median: factor * median,
  low: factor * low,
  high: factor * high,
});
