import { mean } from "simple-statistics";

/** One line of the table of an analysis of variance. */
export interface Effect {
  readonly sumOfSquares: number;
  readonly degreesOfFreedom: number;
}

/** Points by people, crossed, balanced, with interaction. */
export interface GaugeAnova {
  readonly points: Effect;
  readonly people: Effect;
  readonly interaction: Effect;
  readonly repeat: Effect;
  readonly total: Effect;
}

/**
 * Sums of squares of a balanced crossed study: `cells[point][person]` holds the repeats, as many in
 * every cell. Each sum is taken from differences of means, not as a difference of large squares, so
 * that readings near 5 V that differ by millivolts keep their digits.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.3.7 (two-way analysis of variance).
 */
export function gaugeAnova(cells: readonly (readonly (readonly number[])[])[]): GaugeAnova {
  const [a, b, n] = [cells.length, cells[0]!.length, cells[0]![0]!.length];
  const cellMeans = cells.map((row) => row.map((cell) => mean([...cell])));
  const pointMeans = cellMeans.map((row) => mean(row));
  const personMeans = cells[0]!.map((_, j) => mean(cellMeans.map((row) => row[j]!)));
  const grand = mean(pointMeans);
  const points = b * n * squares(pointMeans, () => grand);
  const people = a * n * squares(personMeans, () => grand);
  const crossed = (row: readonly number[], i: number) =>
    squares(row, (j) => pointMeans[i]! + personMeans[j]! - grand);
  const interaction = n * sum(cellMeans.map(crossed));
  const within = (row: readonly (readonly number[])[], i: number) =>
    sum(row.map((cell, j) => squares(cell, () => cellMeans[i]![j]!)));
  const repeat = sum(cells.map(within));
  const total = squares(cells.flat(2), () => grand);
  return {
    points: { sumOfSquares: points, degreesOfFreedom: a - 1 },
    people: { sumOfSquares: people, degreesOfFreedom: b - 1 },
    interaction: { sumOfSquares: interaction, degreesOfFreedom: (a - 1) * (b - 1) },
    repeat: { sumOfSquares: repeat, degreesOfFreedom: a * b * (n - 1) },
    total: { sumOfSquares: total, degreesOfFreedom: a * b * n - 1 },
  };
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

const squares = (values: readonly number[], centre: (index: number) => number): number =>
  values.reduce((total, value, index) => total + (value - centre(index)) ** 2, 0);
