import type { ContactFilter } from "./contact-filter.ts";
import { growthRows } from "./growth-rows.ts";
import { LOWEST, NODES, ohmsAt } from "./level-grid.ts";

/** One contact's expected resistance in every walk, and its variance [ohm]. */
export interface ContactMoments {
  readonly mean: Float64Array;
  readonly variance: Float64Array;
}

/** Nothing known: a sound contact, give or take more than readings could tell. */
export const unknownMoments = (walks: number): ContactMoments => ({
  mean: new Float64Array(walks).fill(0.3),
  variance: new Float64Array(walks).fill(900),
});

const LEAST = Math.exp(LOWEST);
const ROWS = growthRows.length;

/**
 * Moments by walk, all values taken in. `rows`: P(row | all values) with the rows' prior; `after`:
 * what each stage leads to later.
 */
export function momentsOf(
  filter: ContactFilter,
  after: readonly Float64Array[],
  rows: Float64Array,
  clock: Float64Array,
  into: ContactMoments,
): void {
  filter.stages.forEach(({ stage, masses }, s) => {
    if (stage.to === stage.from) return;
    const first = new Float64Array(ROWS);
    const second = new Float64Array(ROWS);
    const later = after[s]!;
    for (let r = 0; r < ROWS; r++) {
      if (rows[r]! < 1e-7) continue;
      let [zero, one, two] = [0, 0, 0];
      for (let i = 0; i < NODES; i++) {
        const mass = masses[r * NODES + i]! * later[r * NODES + i]!;
        zero += mass;
        one += mass * ohmsAt[i]!;
        two += mass * ohmsAt[i]! * ohmsAt[i]!;
      }
      if (zero > 0) {
        first[r] = one / zero;
        second[r] = two / zero;
      }
    }
    for (let w = stage.from; w < stage.to; w++) {
      const ago = stage.ends - clock[w]!;
      let [sum, mean, square] = [0, 0, 0];
      for (let r = 0; r < ROWS; r++) {
        const weight = rows[r]!;
        if (weight < 1e-7 || first[r] === 0) continue;
        const { kind, rate } = growthRows[r]!;
        let [one, two] = [first[r]!, second[r]!];
        if (kind === "ohm") {
          const spread = Math.max(0, two - one * one);
          one = Math.max(LEAST, one - rate * ago);
          two = one * one + spread;
        } else if (kind === "log") {
          const back = Math.exp(-rate * ago);
          one *= back;
          two *= back * back;
        }
        sum += weight;
        mean += weight * one;
        square += weight * two;
      }
      into.mean[w] = mean / sum;
      into.variance[w] = Math.max(1e-4, square / sum - (mean / sum) ** 2);
    }
  });
}
