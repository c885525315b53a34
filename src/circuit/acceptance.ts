import { type Volts, volts } from "../domain/units.ts";
import { normalCdf, normalQuantile } from "../numerics/normal.ts";

/**
 * Does a circuit meet the facility's limit? The true voltage at its last point is known only as a
 * distribution, so the answer states its risk.
 *
 * Source: JCGM 106:2012, 8.2 (decision rules on a single limit) and 8.3 (guard bands), mirrored to
 * a lower limit: the volts must be at or over it.
 */
export interface Acceptance {
  /** P(true value under the limit): the risk of calling this circuit good. */
  readonly risk: number;
  /** Mean of what is known [V]. */
  readonly estimate: Volts;
  /** How far above the limit the estimate must stand for the risk to be tolerated [V]. */
  readonly guardBand: Volts;
  /** Limit plus guard band: what the estimate is compared with [V]. */
  readonly acceptanceLimit: Volts;
  readonly verdict: AcceptanceCall;
}

/**
 * "accept": the risk that the value is under the limit is tolerated. "reject": the chance of wronging
 * a good one is. Between the two nothing is decided. (The words of JCGM 106.)
 */
export type AcceptanceCall = "accept" | "reject" | "undecided";

/** A possible true value [V] and how much it weighs; weights need not add up to 1. */
export interface WeightedVolts {
  readonly volts: number;
  /** How much it weighs beside the others [weight; over 0]. */
  readonly weight: number;
}

/** The risk that is tolerated where nobody says otherwise, on both sides. */
export const TOLERATED = 0.05;

/** What a risk comes to. */
export function verdictOf(risk: number, tolerated = TOLERATED): AcceptanceCall {
  if (risk <= tolerated) return "accept";
  return risk >= 1 - tolerated ? "reject" : "undecided";
}

/**
 * Accepts or rejects on any distribution, given as weighted values: exact for them.
 * Throws without a value of positive weight.
 *
 * @param limit Lowest voltage that is good [V].
 * @param tolerated Risk that is tolerated, on both sides [P; over 0, under 0.5].
 */
export function acceptance(
  known: readonly WeightedVolts[],
  limit: Volts,
  tolerated = TOLERATED,
): Acceptance {
  const total = known.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > 0)) throw new Error("acceptance needs at least one value of positive weight");
  const mean = known.reduce((sum, { volts, weight }) => sum + volts * weight, 0) / total;
  const under = known.reduce((sum, { volts, weight }) => sum + (volts < limit ? weight : 0), 0);
  return judged(mean, under / total, mean - lowerBound(known, tolerated * total), limit, tolerated);
}

/**
 * The same for a normal distribution: the guard band is `z(1 - tolerated) * sd`.
 *
 * @param tolerated Risk that is tolerated, on both sides [P; over 0, under 0.5].
 */
export function acceptanceOfNormal(
  mean: Volts,
  sd: Volts,
  limit: Volts,
  tolerated = TOLERATED,
): Acceptance {
  const risk = sd > 0 ? normalCdf((limit - mean) / sd) : Number(mean < limit);
  return judged(mean, risk, normalQuantile(1 - tolerated) * sd, limit, tolerated);
}

function judged(
  mean: number,
  risk: number,
  guardBand: number,
  limit: Volts,
  tolerated: number,
): Acceptance {
  return {
    risk,
    estimate: volts(mean),
    guardBand: volts(guardBand),
    acceptanceLimit: volts(limit + guardBand),
    verdict: verdictOf(risk, tolerated),
  };
}

/** The highest value that no more than `weightUnder` lies under. */
function lowerBound(known: readonly WeightedVolts[], weightUnder: number): number {
  const rising = known.filter(({ weight }) => weight > 0).sort((a, b) => a.volts - b.volts);
  let under = 0;
  for (const { volts, weight } of rising) {
    under += weight;
    if (under > weightUnder) return volts;
  }
  return rising.at(-1)!.volts;
}
