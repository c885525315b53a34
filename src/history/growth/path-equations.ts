import { choleskyFactor, choleskySolve } from "../../numerics/cholesky.ts";
import type { ContactMoments } from "./contact-moments.ts";
import type { SeasonData } from "./season-data.ts";

/** Normal equations of the EMFs of all walks, counted from the pool file's [1 / V^2, 1 / V]. */
export interface WalkEquations {
  readonly matrix: Float64Array;
  readonly right: Float64Array;
}

/** How far a contact may stand from what is expected, by its own size and in ohms. */
const OFF = 0.8;
const OFF_OHMS = 0.3;
/** And its growth, a week. */
const GROWTH_OFF = 0.06;
/** Values so many sd off count for nothing. */
const ODD = 5;

/**
 * One stretch of a contact between works: in walks `from` to `to`, its ohms may differ by a multiple
 * of `level` and of `growth`.
 */
interface Freedom {
  readonly position: number;
  readonly from: number;
  readonly to: number;
  readonly level: Float64Array;
  readonly growth: Float64Array;
}

function freedoms(
  season: SeasonData,
  p: number,
  moments: readonly ContactMoments[],
): readonly Freedom[] {
  const walks = season.days.length;
  return season.lives[p]!.flatMap((lives, position) =>
    lives.flatMap(({ stages }) => {
      const begins = stages.filter(({ entry }) => entry.kind !== "step");
      return begins.flatMap(({ from, ends }, i): Freedom[] => {
        const to = begins[i + 1]?.from ?? stages.at(-1)!.to;
        if (to === from) return [];
        const level = new Float64Array(walks);
        const growth = new Float64Array(walks);
        for (let w = from; w < to; w++) {
          const ohms = moments[position]!.mean[w]!;
          level[w] = OFF * ohms + OFF_OHMS;
          growth[w] = GROWTH_OFF * (ohms + 2 * OFF_OHMS) * (season.clock[w]! - ends);
        }
        return [{ position, from, to, level, growth }];
      });
    }),
  );
}

/** One path's part: its values' equations, the contacts' freedoms taken out. */
export function pathEquations(
  season: SeasonData,
  p: number,
  moments: readonly ContactMoments[],
  scatter: number,
  last: Float64Array | null,
): WalkEquations {
  const walks = season.days.length;
  const path = season.paths[p]!;
  const free = freedoms(season, p, moments);
  const size = 2 * free.length;
  const matrix = new Float64Array(walks * walks);
  const right = new Float64Array(walks);
  const own = new Float64Array(size * size);
  for (let i = 0; i < size; i++) own[i * size + i] = 1;
  const cross = new Float64Array(walks * size);
  const pull = new Float64Array(size);
  const slopes = new Float64Array(size);
  const { emf } = season.supplies[path.supply]!;
  for (let w = 0; w < walks; w++) {
    let series = 0;
    let variance = 0;
    for (let k = 0; k < path.contacts; k++) {
      const mean = moments[k]!.mean[w]!;
      series += path.wires[k]! + mean;
      variance += (scatter * mean) ** 2;
      const at = w * path.contacts + k;
      for (let i = path.first[at]!; i < path.first[at + 1]!; i++) {
        const loop = path.load[i]! + path.sourceOhms + series;
        const c = path.load[i]! / loop;
        const slope = (emf * c) / loop;
        const off = path.shown[i]! - c * emf;
        const noise2 = path.noise[i]! ** 2 + path.step[i]! ** 2 / 12 + slope * slope * variance;
        if (last !== null) {
          const odd = path.shown[i]! - c * last[w]!;
          const wide = noise2 + slope * slope * sumOf(moments, w, k);
          if (odd * odd > ODD * ODD * wide) continue;
        } else if (Math.abs(off) > 0.3) continue;
        const weight = 1 / noise2;
        for (let f = 0; f < free.length; f++) {
          const { position, from, to, level, growth } = free[f]!;
          const seen = position <= k && w >= from && w < to;
          slopes[2 * f] = seen ? -slope * level[w]! : 0;
          slopes[2 * f + 1] = seen ? -slope * growth[w]! : 0;
        }
        matrix[w * walks + w]! += weight * c * c;
        right[w]! += weight * c * off;
        for (let a = 0; a < size; a++) {
          const slopeA = slopes[a]!;
          if (slopeA === 0) continue;
          cross[w * size + a]! += weight * c * slopeA;
          pull[a]! += weight * slopeA * off;
          for (let b = 0; b < size; b++) own[a * size + b]! += weight * slopeA * slopes[b]!;
        }
      }
    }
  }
  takeOut(matrix, right, own, cross, pull, walks, size);
  return { matrix, right };
}

const sumOf = (moments: readonly ContactMoments[], w: number, upTo: number): number => {
  let sum = 0;
  for (let k = 0; k <= upTo; k++) sum += moments[k]!.variance[w]!;
  return sum;
};

/** Schur complement: what is left for the EMFs once the contacts follow. */
function takeOut(
  matrix: Float64Array,
  right: Float64Array,
  own: Float64Array,
  cross: Float64Array,
  pull: Float64Array,
  walks: number,
  size: number,
): void {
  if (size === 0) return;
  const factor = choleskyFactor(own, size);
  const solved = choleskySolve(factor, size, pull);
  for (let w = 0; w < walks; w++) {
    const row = cross.subarray(w * size, (w + 1) * size);
    const weights = choleskySolve(factor, size, row);
    for (let a = 0; a < size; a++) right[w]! -= row[a]! * solved[a]!;
    for (let v = 0; v < walks; v++) {
      let sum = 0;
      for (let a = 0; a < size; a++) sum += weights[a]! * cross[v * size + a]!;
      matrix[w * walks + v]! -= sum;
    }
  }
}
