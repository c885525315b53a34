import { gammaln } from "simple-statistics";

/**
 * The beta distribution: what is known about a rate after counting.
 *
 * Shapes `a` and `b` are positive and unitless; a rate is between 0 and 1. True for shapes up to
 * about 1e5, to an absolute error under 1e-12. Source: Abramowitz & Stegun, 26.5.8 (continued
 * fraction of the incomplete beta function), summed by the modified Lentz rule.
 */
export interface Beta {
  readonly a: number;
  readonly b: number;
}

/** ln B(a, b) = ln Γ(a) + ln Γ(b) - ln Γ(a + b). */
export const logBeta = (a: number, b: number): number => gammaln(a) + gammaln(b) - gammaln(a + b);

/** P(rate <= x). */
export function betaCdf({ a, b }: Beta, x: number): number {
  if (!(a > 0 && b > 0)) throw new Error(`beta shapes must be positive, got ${a} and ${b}`);
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(a * Math.log(x) + b * Math.log1p(-x) - logBeta(a, b));
  // The fraction converges fast on the near side of the mean; the other side is its mirror.
  if (x < (a + 1) / (a + b + 2)) return (front * fraction(a, b, x)) / a;
  return 1 - (front * fraction(b, a, 1 - x)) / b;
}

/** The rate that lies over a share `p` of the distribution. */
export function betaQuantile(beta: Beta, p: number): number {
  if (p <= 0) return 0;
  if (p >= 1) return 1;
  let [low, high] = [0, 1];
  // Sixty halvings reach the spacing of doubles near 1; near 0 go on until the bracket is tight.
  for (let step = 0; step < 200 && high - low > 1e-15 * high; step += 1) {
    const middle = (low + high) / 2;
    if (betaCdf(beta, middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The shortest interval that holds a share `mass`: highest density, one-sided at an edge. */
export function betaShortest(beta: Beta, mass: number): readonly [low: number, high: number] {
  const highFrom = (tail: number): number => betaQuantile(beta, tail + mass);
  const width = (tail: number): number => highFrom(tail) - betaQuantile(beta, tail);
  let [left, right] = [0, 1 - mass];
  // Width is unimodal in the lower tail wherever the density has one peak or peaks at one edge.
  for (let step = 0; step < 80; step += 1) {
    const third = (right - left) / 3;
    if (width(left + third) <= width(right - third)) right -= third;
    else left += third;
  }
  const best = (left + right) / 2;
  const tail = [0, 1 - mass, best].reduce((a, b) => (width(a) <= width(b) + 1e-12 ? a : b));
  return [betaQuantile(beta, tail), highFrom(tail)];
}

/** ln P(`hits` of `tries`) where the rate is beta distributed: the beta-binomial. */
export function logBetaBinomial({ a, b }: Beta, hits: number, tries: number): number {
  const logChoose = -Math.log(tries + 1) - logBeta(hits + 1, tries - hits + 1);
  return logChoose + logBeta(hits + a, tries - hits + b) - logBeta(a, b);
}

/** A beta after `hits` of `tries` more were counted. */
export const betaAfter = ({ a, b }: Beta, hits: number, tries: number): Beta => ({
  a: a + hits,
  b: b + tries - hits,
});

function fraction(a: number, b: number, x: number): number {
  const tiny = 1e-300;
  const away = (value: number): number => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let result = d;
  for (let m = 1; m <= 2000; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    result *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    result *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) return result;
  }
  throw new Error(`incomplete beta function did not settle at a=${a}, b=${b}, x=${x}`);
}
