import type { ContactFinding, Estimate, Explanation, MeterSight } from "../domain/findings.ts";
import { ohms } from "../domain/units.ts";
import { normalCdf, normalQuantile } from "../numerics/normal.ts";
import type { ChainPool, PartReading } from "./chain-pool.ts";
import {
  type DoubtedZero,
  lowSupply,
  meterBlind,
  meterOff,
  supplyLow,
  wrongLoad,
} from "./explanations.ts";
import { solve } from "./solve.ts";
import type { DoubtedReading } from "./take-again.ts";
import { readWalk } from "./walk-model.ts";

/**
 * What could explain the readings of the whole walk, besides its contacts; another load of the
 * meter, which takes the walk's evidence anew for each, only with `rivals`.
 */
export function walkExplanations(
  pool: ChainPool,
  readings: readonly PartReading[],
  emf: { readonly estimate: Estimate; readonly logEvidence: number },
  doubted: readonly DoubtedReading[],
  meters: readonly MeterSight[],
  contacts: readonly ContactFinding[],
  rivals: boolean,
): readonly Explanation[] {
  return [
    ...supplyLow(pool, emfBelow(emf.estimate, lowSupply(pool)), emf.estimate),
    ...meterOff(doubtedZeros(doubted)),
    ...meterBlind(meters),
    ...(rivals
      ? wrongLoad(pool, contacts, emf.logEvidence, (factor) =>
          logEvidenceWithLoad(pool, readings, factor),
        )
      : []),
  ];
}

/** P(EMF < limit | readings). */
function emfBelow({ median, low, high }: Estimate, limit: number): number {
  if (high <= limit) return 1;
  if (low >= limit && low > limit + (high - low)) return 0;
  // Between the quantiles the posterior is near enough a normal.
  return normalCdf(((limit - median) * 2 * normalQuantile(0.95)) / (high - low));
}

/** The zeros among the doubted readings. */
const doubtedZeros = (doubted: readonly DoubtedReading[]): readonly DoubtedZero[] =>
  doubted.flatMap(({ weighed: { reading, meterOff: off }, doubt }) =>
    reading.volts === 0 ? [{ meter: reading.meter, meterOff: off, doubt }] : [],
  );

/** ln P(all displayed values) had the first meter another load. */
function logEvidenceWithLoad(
  pool: ChainPool,
  readings: readonly PartReading[],
  factor: number,
): number {
  const [first, ...others] = pool.meters;
  const loadOhms = ohms(first!.loadOhms! * factor);
  const other: ChainPool = { ...pool, meters: [{ ...first!, loadOhms }, ...others] };
  return solve(readWalk(other, readings)).emf.logEvidence;
}
