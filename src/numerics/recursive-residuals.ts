/**
 * What is left of a row of values when each is held against the straight line through those before it:
 *
 *     w_t = (y_t - a - b x_t) / sqrt(1 + 1/m + (x_t - mean x)^2 / sum (x - mean x)^2)
 *
 * a, b the least squares of the m values before t, x their number. Values that lie on any line but for
 * independent normal noise of one variance give independent w of the same variance, the first two
 * values none; adding a line to the row changes nothing (Brown, Durbin and Evans 1975, Journal of the
 * Royal Statistical Society B 37, 149-192, from memory).
 *
 * @returns n - 2 values; none where n < 3.
 */
export function recursiveResiduals(values: readonly number[]): readonly number[] {
  const found: number[] = [];
  let [meanX, meanY, squares, products] = [0, 0, 0, 0];
  for (const [x, y] of values.entries()) {
    const [offX, offY] = [x - meanX, y - meanY];
    if (x >= 2) {
      const spread = Math.sqrt(1 + 1 / x + (offX * offX) / squares);
      found.push((offY - (products / squares) * offX) / spread);
    }
    meanX += offX / (x + 1);
    meanY += offY / (x + 1);
    squares += offX * (x - meanX);
    products += offX * (y - meanY);
  }
  return found;
}
