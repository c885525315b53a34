/** The smallest values with at least so much of the weight at or under them; weights add to 1. */
export function weightedQuantiles(
  values: Float64Array,
  weights: Float64Array,
  shares: readonly number[],
): readonly number[] {
  const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]! || a - b);
  return shares.map((share) => {
    let sum = 0;
    for (const n of order) {
      sum += weights[n]!;
      if (sum >= share - 1e-12) return values[n]!;
    }
    return values[order.at(-1)!]!;
  });
}
