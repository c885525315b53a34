import { type Beta, betaAfter, betaQuantile, betaShortest } from "../numerics/beta.ts";

/** A rate of missed or false touches, as far as the presses tell [unitless, 0 to 1]. */
export interface TouchRate {
  readonly events: number;
  readonly tried: number;
  readonly mean: number;
  readonly median: number;
  /** As much probability under as over it. */
  readonly equalTailed: readonly [low: number, high: number];
  /** The shortest interval of the same probability: reaches 0 where no event was seen. */
  readonly shortest: readonly [low: number, high: number];
  /** Probability that each interval holds the rate. */
  readonly mass: number;
}

/**
 * The rate behind `events` in `tried` presses: beta prior, binomial counts, beta posterior.
 *
 * Honest at five tries because nothing is approximated by a normal: five presses without a miss
 * leave a Jeffreys upper limit of 0.38 at 95 %, and it says so.
 * Throws where `events` [presses; whole, 0 to `tried`] are not among `tried` [presses; whole, 0 or
 * more].
 *
 * @param mass Of the interval [P; over 0, under 1].
 */
export function touchRate(events: number, tried: number, prior: Beta, mass = 0.9): TouchRate {
  if (!(events >= 0 && events <= tried))
    throw new Error(`events must be between 0 and ${tried}, got ${events}`);
  const posterior = betaAfter(prior, events, tried);
  const tail = (1 - mass) / 2;
  return {
    events,
    tried,
    mean: posterior.a / (posterior.a + posterior.b),
    median: betaQuantile(posterior, 0.5),
    equalTailed: [betaQuantile(posterior, tail), betaQuantile(posterior, 1 - tail)],
    shortest: betaShortest(posterior, mass),
    mass,
  };
}
