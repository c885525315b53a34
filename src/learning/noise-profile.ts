import { logSum } from "../numerics/log-sum.ts";

/**
 * What a walk says of its noise: ln of the likelihood of its readings, all else integrated out, at five
 * values of u, the ln of its noise over the stated one.
 */
export interface NoiseProfile {
  readonly at: readonly number[];
  readonly logs: readonly number[];
}

/** Places of the five, in standard deviations; the integral runs as far. */
export const PROFILE = [-3, -1.5, 0, 1.75, 3.5] as const;
const STEPS = 64;

/**
 * ln P(readings), where the meter's stated noise is e^d as large and the walk's own scale has, before
 * the walk, Normal(0, walkSd^2) for its ln:
 *
 *     ln of the integral of Normal(u - d; 0, walkSd^2) e^(l(u)) du
 *
 * l is the polynomial through the five; u stays between the first and the last, where the mass is.
 */
export function noiseEvidence({ at, logs }: NoiseProfile, walkSd: number, d: number): number {
  const [low, high] = [at[0]!, at.at(-1)!];
  const step = (high - low) / STEPS;
  const terms = Array.from({ length: STEPS + 1 }, (_, i) => {
    const u = low + i * step;
    const half = i === 0 || i === STEPS ? -Math.LN2 : 0;
    const z = (u - d) / walkSd;
    return through(at, logs, u) - 0.5 * z * z + half;
  });
  return logSum(terms);
}

/** The polynomial through some points (Lagrange). */
function through(at: readonly number[], values: readonly number[], x: number): number {
  return values.reduce((sum, value, i) => {
    const basis = at.reduce(
      (product, other, j) => (i === j ? product : (product * (x - other)) / (at[i]! - other)),
      1,
    );
    return sum + value * basis;
  }, 0);
}
