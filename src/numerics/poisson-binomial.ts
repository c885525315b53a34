/**
 * How many of several independent events happen, each with a probability of its own: the
 * Poisson-binomial distribution, exact by convolution.
 *
 * Returns P(count = k) at index k, for k = 0 .. number of events. Source: the recursion of Wang,
 * "On the number of successes in independent trials", Statistica Sinica 3 (1993).
 */
export function poissonBinomial(probabilities: readonly number[]): Float64Array {
  const count = new Float64Array(probabilities.length + 1);
  count[0] = 1;
  probabilities.forEach((p, seen) => {
    if (!(p >= 0 && p <= 1)) throw new Error(`a probability must be from 0 to 1, got ${p}`);
    for (let k = seen + 1; k >= 0; k -= 1)
      count[k] = (count[k] ?? 0) * (1 - p) + (k > 0 ? (count[k - 1] ?? 0) * p : 0);
  });
  return count;
}

/** Smallest k with P(count <= k) >= share. */
export function enough(count: Float64Array, share: number): number {
  let under = 0;
  for (let k = 0; k < count.length; k += 1) {
    under += count[k] ?? 0;
    if (under >= share - 1e-12) return k;
  }
  return count.length - 1;
}
