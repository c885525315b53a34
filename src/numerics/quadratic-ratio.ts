/**
 * P(sum_k lambda_k X_k^2 > 0) for independent standard normal X_k: the exact distribution of a ratio
 * of two quadratic forms, `N / D > c` being `N - c D > 0`. Inverts the characteristic function:
 *
 *     P = 1/2 + 1/pi integral_0^inf sin(theta(u)) / (u rho(u)) du
 *     theta(u) = 1/2 sum_k atan(lambda_k u)        rho(u) = product_k (1 + lambda_k^2 u^2)^(1/4)
 *
 * (Imhof 1961, Biometrika 48, 419-426.) With u = e^x the integrand is smooth and dies off at both
 * ends, so that the trapezoid rule is exact to far more digits than a p-value needs.
 */
export function probabilityAboveZero(lambdas: readonly number[]): number {
  const largest = Math.max(...lambdas.map(Math.abs));
  if (!(largest > 0)) return 0;
  const scaled = lambdas.map((lambda) => lambda / largest);
  let sum = 0;
  for (let x = FIRST; x < LAST; x += STEP) {
    const u = Math.exp(x);
    let theta = 0;
    let lnRho = 0;
    for (const lambda of scaled) {
      const at = lambda * u;
      theta += 0.5 * Math.atan(at);
      lnRho += 0.25 * Math.log1p(at * at);
    }
    if (lnRho > NEGLIGIBLE) break;
    sum += Math.sin(theta) * Math.exp(-lnRho);
  }
  return Math.min(1, Math.max(0, 0.5 + (sum * STEP) / Math.PI));
}

/** Where the rule begins and ends in ln u, and its step. */
const FIRST = -20;
const LAST = 40;
const STEP = 0.1;
/** ln of a denominator beyond which nothing is added. */
const NEGLIGIBLE = 40;
