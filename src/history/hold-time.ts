import { gamma } from "simple-statistics";

/** How long something lasted: until it failed, or at least for as long as it was watched. */
export interface Lifetime {
  /** Above 0. */
  readonly weeks: number;
  readonly ended: boolean;
}

/** Weibull distribution of lifetimes: `P(T > t) = exp(-(t / scale) ^ shape)`. */
export interface HoldTime {
  /** Under 1 early failures, 1 chance alone, over 1 wear. */
  readonly shape: number;
  /** Weeks by which 63 % have failed. */
  readonly scale: number;
  readonly meanWeeks: number;
  readonly logLikelihood: number;
}

/** Derivative of the profile log-likelihood in the shape, per failure. Falls as the shape grows. */
function profileScore(lifetimes: readonly Lifetime[], shape: number): number {
  let weighted = 0;
  let powers = 0;
  let failures = 0;
  let logs = 0;
  const longest = Math.max(...lifetimes.map(({ weeks }) => weeks));
  for (const { weeks, ended } of lifetimes) {
    const power = (weeks / longest) ** shape;
    powers += power;
    weighted += power * Math.log(weeks);
    if (ended) {
      failures += 1;
      logs += Math.log(weeks);
    }
  }
  return 1 / shape + logs / failures - weighted / powers;
}

/**
 * Maximum-likelihood Weibull of lifetimes, the unfinished ones counted as such. Null under two
 * different failures: nothing then says how they spread.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.2 and 8.4.1.3.
 */
export function holdTime(lifetimes: readonly Lifetime[]): HoldTime | null {
  const failures = lifetimes.filter(({ ended }) => ended);
  if (new Set(failures.map(({ weeks }) => weeks)).size < 2) return null;
  let [low, high] = [1e-3, 1e3];
  while (high / low > 1 + 1e-12) {
    const middle = Math.sqrt(low * high);
    if (profileScore(lifetimes, middle) > 0) low = middle;
    else high = middle;
  }
  const shape = Math.sqrt(low * high);
  const powers = lifetimes.reduce((sum, { weeks }) => sum + weeks ** shape, 0);
  const scale = (powers / failures.length) ** (1 / shape);
  const logLikelihood =
    failures.reduce(
      (sum, { weeks }) => sum + Math.log(shape / scale) + (shape - 1) * Math.log(weeks / scale),
      0,
    ) - failures.length;
  return { shape, scale, meanWeeks: scale * gamma(1 + 1 / shape), logLikelihood };
}
