import { type Volts, volts } from "../domain/units.ts";
import { normalCdf } from "../numerics/normal.ts";
import type { WeightedVolts } from "./acceptance.ts";

/**
 * Risk of a rule before anything was read: of all circuits, how many are bad and would be accepted
 * by "the reading is at or over the limit plus a guard band".
 *
 * Source: JCGM 106:2012, 9.5.2 (global consumer's risk), for a lower limit and normal errors.
 *
 * @param circuits True values as they occur among a pool's circuits; weights need not add up to 1.
 * @param readingSd Standard uncertainty of one reading [V].
 * @param limit Lowest voltage that is good [V].
 * @param guardBand Added to the limit; negative makes the rule lenient [V].
 */
export function falseAcceptance(
  circuits: readonly WeightedVolts[],
  readingSd: Volts,
  limit: Volts,
  guardBand: Volts,
): number {
  let bad = 0;
  let total = 0;
  for (const { volts: truth, weight } of circuits) {
    total += weight;
    if (truth < limit) bad += weight * normalCdf((truth - limit - guardBand) / readingSd);
  }
  return bad / total;
}

/** The smallest guard band that keeps the false acceptances at or under `tolerated` [V]. */
export function guardBandFor(
  circuits: readonly WeightedVolts[],
  readingSd: Volts,
  limit: Volts,
  tolerated: number,
): Volts {
  const risk = (band: number) => falseAcceptance(circuits, readingSd, limit, volts(band));
  // 40 standard deviations are past every double: the risk there is 0, or every bad circuit.
  let [low, high] = [-40 * readingSd, 40 * readingSd];
  if (risk(low) <= tolerated) return volts(low);
  while (high - low > 1e-12 * readingSd) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (risk(middle) <= tolerated) high = middle;
    else low = middle;
  }
  return volts(high);
}
