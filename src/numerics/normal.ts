/**
 * The standard normal distribution, to full double precision in both tails.
 *
 * Source: series 26.2.11 and continued fraction 26.2.14 of Abramowitz & Stegun, Handbook of
 * Mathematical Functions. (The library's own is a table of two decimals in z.)
 */

const SQRT_2PI = Math.sqrt(2 * Math.PI);

/** Density at `z`. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / SQRT_2PI;

/** P(Z <= z), relative error under 1e-13 in the left tail too. */
export function normalCdf(z: number): number {
  if (z > 3) return 1 - normalCdf(-z);
  if (z < -3) return normalDensity(z) * millsRatio(-z);
  let term = z;
  let sum = z;
  for (let n = 3; Math.abs(term) > 1e-17 * Math.abs(sum); n += 2) {
    term *= (z * z) / n;
    sum += term;
  }
  return 0.5 + normalDensity(z) * sum;
}

/**
 * The `z` with P(Z <= z) = `p`, infinite at 0 and 1: 1.6449 for 0.95. Bisected on the left half,
 * where the distribution function is exact to the last digits, and mirrored.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new Error(`probability must be 0 to 1, got ${p}`);
  if (p > 0.5) return -normalQuantile(1 - p);
  if (p === 0) return Number.NEGATIVE_INFINITY;
  let [low, high] = [-38.5, 0];
  while (high - low > 1e-15 * -low) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (normalCdf(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Half-width of a central interval in standard deviations: 1.2816 for 0.8, 1.6449 for 0.9. */
export const halfWidth = (coverage: number): number => normalQuantile(0.5 + coverage / 2);

/** Standard deviations from the median to an end of a 90 % interval, as findings give them. */
export const TO_EDGE = halfWidth(0.9);

/** P(Z > z) over the density at z, for z > 3: forty levels of the fraction settle it there. */
function millsRatio(z: number): number {
  let fraction = 0;
  for (let n = 80; n >= 1; n -= 1) fraction = n / (z + fraction);
  return 1 / (z + fraction);
}
