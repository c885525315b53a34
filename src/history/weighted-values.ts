/** Values that count by their weights: quantiles without interpolation, infinite values included. */
export class WeightedValues {
  readonly #values: Float64Array;
  /** Share of the weight up to each value, the value itself included. */
  readonly #shares: Float64Array;

  /** Weights of 0 or more, at least one above 0. */
  constructor(values: Float64Array, weights: Float64Array) {
    const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]! || a - b);
    this.#values = Float64Array.from(order, (n) => values[n]!);
    let sum = 0;
    const sums = Float64Array.from(order, (n) => {
      sum += weights[n]!;
      return sum;
    });
    this.#shares = sums.map((upTo) => upTo / sum);
  }

  /** The smallest value with at least `p` of the weight at or under it. */
  quantile(p: number): number {
    const at = this.#shares.findIndex((share) => share >= p);
    return this.#values[at]!;
  }

  /** Share of the weight at values up to `most`. */
  shareUpTo(most: number): number {
    const above = this.#values.findIndex((value) => value > most);
    if (above < 0) return 1;
    return above === 0 ? 0 : this.#shares[above - 1]!;
  }
}
