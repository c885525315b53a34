import { betaCdf } from "./beta.ts";

/**
 * P(F > f): how often a ratio of two mean squares of the same variance is larger than `f`.
 *
 * Source: Abramowitz & Stegun, 26.6.2.
 *
 * @param f Ratio, 0 or more; infinite gives 0.
 * @param above Degrees of freedom of the mean square above the line.
 * @param below Degrees of freedom of the mean square below the line.
 */
export const fisherTail = (f: number, above: number, below: number): number =>
  betaCdf({ a: below / 2, b: above / 2 }, below / (below + above * f));
