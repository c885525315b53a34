import { choleskyFactor, choleskySolve } from "../../numerics/cholesky.ts";
import { identity } from "../../numerics/matrix-exponential.ts";
import type { ContactMoments } from "./contact-moments.ts";
import type { SeasonData } from "./season-data.ts";

/** Normal equations of the EMFs of all walks, counted from the pool file's [1 / V^2, 1 / V]. */
export interface WalkEquations {
  readonly matrix: Float64Array;
  readonly right: Float64Array;
}

/** What blurs a season's values. */
export interface Noise {
  /** Of the meter, in units of the pool file's. */
  readonly noise: number;
  /** Walk-to-walk scatter of a contact about its line [ln ohm]. */
  readonly scatter: number;
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

/** One value's equation: what it was off by, c of its EMF and `slopes` of the contacts' freedoms. */
interface ValueEquation {
  readonly i: number;
  readonly w: number;
  readonly k: number;
  readonly off: number;
  readonly c: number;
  /** Of the value to ohms in front of it [V / ohm]. */
  readonly slope: number;
  /** 1 / variance of its noise [1 / V^2]. */
  readonly weight: number;
  /** Two by freedom, level and growth; the same array for all values. */
  readonly slopes: Float64Array;
}

/** Every value of a path, its noise in units of the pool file's. */
function eachValue(
  season: SeasonData,
  p: number,
  free: readonly Freedom[],
  moments: readonly ContactMoments[],
  { noise, scatter }: Noise,
  use: (value: ValueEquation) => void,
): void {
  const path = season.paths[p]!;
  const slopes = new Float64Array(2 * free.length);
  const { emf } = season.supplies[path.supply]!;
  for (let w = 0; w < season.days.length; w++) {
    let series = 0;
    let variance = 0;
    for (let k = 0; k < path.contacts; k++) {
      const mean = moments[k]!.mean[w]!;
      series += path.wires[k]! + mean;
      variance += (scatter * mean) ** 2;
      for (let f = 0; f < free.length; f++) {
        const { position, from, to, level, growth } = free[f]!;
        const seen = position <= k && w >= from && w < to;
        slopes[2 * f] = seen ? level[w]! : 0;
        slopes[2 * f + 1] = seen ? growth[w]! : 0;
      }
      const at = w * path.contacts + k;
      for (let i = path.first[at]!; i < path.first[at + 1]!; i++) {
        const loop = path.load[i]! + path.sourceOhms + series;
        const c = path.load[i]! / loop;
        const slope = (emf * c) / loop;
        const noise2 = (noise * path.noise[i]!) ** 2 + path.rounding[i]! + slope ** 2 * variance;
        use({ i, w, k, off: path.shown[i]! - c * emf, c, slope, weight: 1 / noise2, slopes });
      }
    }
  }
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
  const { shown } = season.paths[p]!;
  const free = freedoms(season, p, moments);
  const size = 2 * free.length;
  const matrix = new Float64Array(walks * walks);
  const right = new Float64Array(walks);
  const own = identity(size);
  const cross = new Float64Array(walks * size);
  const pull = new Float64Array(size);
  eachValue(season, p, free, moments, { noise: 1, scatter }, (value) => {
    const { i, w, k, off, c, slope, weight, slopes } = value;
    if (last !== null) {
      const odd = shown[i]! - c * last[w]!;
      const wide = 1 / weight + slope * slope * sumOf(moments, w, k);
      if (odd * odd > ODD * ODD * wide) return;
    } else if (Math.abs(off) > 0.3) return;
    matrix[w * walks + w]! += weight * c * c;
    right[w]! += weight * c * off;
    for (let a = 0; a < size; a++) {
      const slopeA = -slope * slopes[a]!;
      if (slopeA === 0) continue;
      cross[w * size + a]! += weight * c * slopeA;
      pull[a]! += weight * slopeA * off;
    }
    addSquare(own, slopes, weight * slope * slope);
  });
  takeOut(matrix, right, own, cross, pull, walks, size);
  return { matrix, right };
}

/**
 * How much each value of a path pulls what is expected of it towards itself, as the contacts are free
 * to follow: in a linear model the leverage h, a residual's mean square being 1 - h of its variance
 * (Hoaglin and Welsch, The American Statistician 32, 1978, from memory). By value.
 */
export function leverages(
  season: SeasonData,
  p: number,
  moments: readonly ContactMoments[],
  noise: Noise,
): Float64Array {
  const free = freedoms(season, p, moments);
  const size = 2 * free.length;
  const own = identity(size);
  eachValue(season, p, free, moments, noise, ({ weight, slope, slopes }) => {
    addSquare(own, slopes, weight * slope * slope);
  });
  const factor = choleskyFactor(own, size);
  const found = new Float64Array(season.paths[p]!.shown.length);
  eachValue(season, p, free, moments, noise, ({ i, weight, slope, slopes }) => {
    const left = choleskySolve(factor, size, slopes);
    const contacts = slopes.reduce((sum, one, a) => sum + one * left[a]!, 0);
    found[i] = weight * slope ** 2 * contacts;
  });
  return found;
}

/** Adds `weight` times the slopes' outer product. */
function addSquare(matrix: Float64Array, slopes: Float64Array, weight: number): void {
  const size = slopes.length;
  for (let a = 0; a < size; a++) {
    if (slopes[a] === 0) continue;
    const whole = weight * slopes[a]!;
    for (let b = 0; b < size; b++) matrix[a * size + b]! += whole * slopes[b]!;
  }
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
