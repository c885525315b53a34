import { probabilityAboveZero } from "./quadratic-ratio.ts";

/**
 * Two questions to a row of values that should be independent normal ones of any one mean and
 * variance: do neighbours go together, and does the level change along the row?
 *
 *     v = sum_i (z_(i+1) - z_i)^2 / sum_i (z_i - mean)^2
 *     w = sum_k S_k^2 / sum_i (z_i - mean)^2         S_k = sum_(i<=k) (z_i - mean)
 *
 * Both are ratios of quadratic forms in the same n - 1 directions (cosines along the row), with the
 * eigenvalues m_k = 4 sin^2(pi k / 2n) of v and 1 / m_k of w, so that their distributions are exact
 * for every n (v: von Neumann 1941, Annals of Mathematical Statistics 12, 367-395; w: the discrete
 * form of Cramér and von Mises' statistic for a bridge, Anderson and Darling 1952).
 */
export interface RunsOf {
  /** P(neighbours as alike, or more). */
  readonly neighbours: number;
  /** P(cumulative sums as far from 0, or farther). */
  readonly level: number;
}

export function runsOf(values: readonly number[]): RunsOf {
  const n = values.length;
  const mean = values.reduce((sum, z) => sum + z, 0) / n;
  const square = values.reduce((sum, z) => sum + (z - mean) ** 2, 0);
  if (n < 3 || !(square > 0)) return { neighbours: 1, level: 1 };
  let steps = 0;
  let sums = 0;
  let cumulated = 0;
  for (const [i, z] of values.entries()) {
    if (i > 0) steps += (z - values[i - 1]!) ** 2;
    cumulated += z - mean;
    sums += cumulated ** 2;
  }
  const forms = Array.from({ length: n - 1 }, (_, k) => {
    const sine = Math.sin((Math.PI * (k + 1)) / (2 * n));
    return 4 * sine * sine;
  });
  return {
    neighbours: probabilityAboveZero(forms.map((m) => steps / square - m)),
    level: probabilityAboveZero(forms.map((m) => 1 / m - sums / square)),
  };
}
