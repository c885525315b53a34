import { gammaln } from "simple-statistics";

/**
 * P(X <= x) for the chi-squared distribution: the regularized lower incomplete gamma function.
 *
 * Source: Abramowitz & Stegun, series 6.5.29 below the mean, continued fraction 6.5.31 above it.
 *
 * @param x 0 or more.
 * @param degreesOfFreedom Above 0, whole or not, up to some 1e5.
 */
export function chiSquaredCdf(x: number, degreesOfFreedom: number): number {
  if (!(degreesOfFreedom > 0)) throw new Error(`needs degrees of freedom, got ${degreesOfFreedom}`);
  if (x <= 0) return 0;
  const shape = degreesOfFreedom / 2;
  const at = x / 2;
  const front = Math.exp(shape * Math.log(at) - at - gammaln(shape));
  return at < shape + 1 ? front * series(shape, at) : 1 - front * fraction(shape, at);
}

/** The `x` with P(X <= x) = `p`, by bisection: 3.841 for 0.95 and 1 degree of freedom. */
export function chiSquaredQuantile(p: number, degreesOfFreedom: number): number {
  if (!(p >= 0 && p < 1)) throw new Error(`probability must be in 0 to 1, 1 excluded, got ${p}`);
  let high = degreesOfFreedom;
  while (chiSquaredCdf(high, degreesOfFreedom) < p) high *= 2;
  let low = 0;
  for (let step = 0; step < 200 && high - low > 1e-15 * high; step += 1) {
    const middle = (low + high) / 2;
    if (chiSquaredCdf(middle, degreesOfFreedom) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function series(shape: number, at: number): number {
  let term = 1 / shape;
  let sum = term;
  for (let n = 1; term > 1e-17 * sum; n += 1) {
    term *= at / (shape + n);
    sum += term;
  }
  return sum;
}

/** Lentz's rule on the even form, which converges fast for `at` above `shape` + 1. */
function fraction(shape: number, at: number): number {
  let b = at + 1 - shape;
  let c = 1e300;
  let d = 1 / b;
  let result = d;
  for (let n = 1; n <= 10_000; n += 1) {
    const a = -n * (n - shape);
    b += 2;
    d = 1 / (a * d + b);
    c = b + a / c;
    result *= c * d;
    if (Math.abs(c * d - 1) < 1e-15) return result;
  }
  throw new Error(`incomplete gamma function did not settle at ${shape}, ${at}`);
}
