import { betaQuantile } from "./beta.ts";

/**
 * The `t` with P(T <= t) = `p` for Student's distribution: 2.776 for 0.975 and 4 degrees of
 * freedom.
 *
 * Where a share `q` lies beyond |t|, `df / (df + t²)` is the `q` quantile of Beta(df / 2, 1 / 2)
 * (Abramowitz & Stegun, 26.7.1 with 26.5.2).
 *
 * @param p Between 0 and 1, ends excluded.
 * @param degreesOfFreedom Above 0, whole or not.
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  if (!(p > 0 && p < 1)) throw new Error(`probability must be inside 0 to 1, got ${p}`);
  if (!(degreesOfFreedom > 0)) throw new Error(`needs degrees of freedom, got ${degreesOfFreedom}`);
  if (p < 0.5) return -studentQuantile(1 - p, degreesOfFreedom);
  // Of the two mirrored forms take the one whose variable is small: it keeps its digits.
  const half = degreesOfFreedom / 2;
  if (p < 0.75) {
    const near = betaQuantile({ a: 0.5, b: half }, 2 * p - 1);
    return Math.sqrt((degreesOfFreedom * near) / (1 - near));
  }
  const far = betaQuantile({ a: half, b: 0.5 }, 2 * (1 - p));
  return Math.sqrt((degreesOfFreedom * (1 - far)) / far);
}
