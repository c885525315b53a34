import type { Estimate } from "../domain/findings.ts";

/**
 * Carries intervals through a formula that rises or falls in each of its quantities: the bounds
 * lie at the worst and best corner. Exact for one uncertain quantity; for several, where the ends
 * of all intervals would have to come together, never too narrow.
 */
export function corners(
  formula: (...quantities: number[]) => number,
  estimates: readonly Estimate[],
): Estimate {
  const ends = estimates.reduce<readonly number[][]>(
    (sofar, { low, high }) =>
      sofar.flatMap((corner) => [
        [...corner, low],
        [...corner, high],
      ]),
    [[]],
  );
  const values = ends.map((corner) => formula(...corner));
  return {
    median: formula(...estimates.map(({ median }) => median)),
    low: Math.min(...values),
    high: Math.max(...values),
  };
}
