import {
  choleskyFactor,
  choleskyInverse,
  choleskySolve,
  factorIfPositive,
} from "../../numerics/cholesky.ts";

/** A normal in a few dimensions: its mean, and a root of its covariance (lower triangle). */
export interface NormalFit {
  readonly mean: Float64Array;
  /** Columns are the axes: mean + root z has covariance root root^T. */
  readonly root: readonly Float64Array[];
}

/** mean + root z. */
export function along({ mean, root }: NormalFit, z: ArrayLike<number>): Float64Array {
  const point = mean.slice();
  for (let column = 0; column < root.length; column++) {
    for (let row = 0; row < point.length; row++) {
      point[row]! += root[column]![row]! * (z[column] ?? 0);
    }
  }
  return point;
}

/** Standard deviation of one of its numbers. */
export const sdOf = ({ root }: NormalFit, row: number): number =>
  Math.sqrt(root.reduce((sum, column) => sum + column[row]! ** 2, 0));

/** ln of the density at mean + root z. */
export function logDensity({ root }: NormalFit, z: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < root.length; i++) {
    sum -= 0.5 * (z[i] ?? 0) ** 2 + 0.5 * Math.log(2 * Math.PI) + Math.log(root[i]![i]!);
  }
  return sum;
}

/**
 * The normal at a function's maximum: Newton's method from `start` on differences taken over
 * `steps`, widened where the function is flat; null where it has no maximum nearby.
 */
export function normalAtMaximum(
  f: (point: Float64Array) => number,
  start: Float64Array,
  steps: Float64Array,
): NormalFit | null {
  let mean: Float64Array = start.slice();
  let value = f(mean);
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    const { gradient, hessian } = derivatives(f, mean, value, steps);
    const factor = factorIfPositive(
      hessian.map((x) => -x),
      mean.length,
    );
    const moves =
      factor === null
        ? dampedMoves(gradient, hessian, steps)
        : shorter(choleskySolve(factor, mean.length, gradient));
    let moved = 0;
    for (const move of moves) {
      const next = mean.map((x, i) => x + clamp(move[i]!, 4 * steps[i]!));
      const there = f(next);
      if (!(there > value - 1e-9)) continue;
      moved = Math.max(...next.map((x, i) => Math.abs(x - mean[i]!) / steps[i]!));
      [mean, value] = [next, Math.max(value, there)];
      break;
    }
    if (factor !== null && moved < NEAR_TOP)
      return { mean, root: inverseRoot(factor, mean.length) };
    if (moved === 0) return null;
  }
  return null;
}

const MOST_TURNS = 40;
/** A step of less than this part of `steps` has come to the top. */
const NEAR_TOP = 0.15;

/** A step, and what is left of it where it leads too far. */
const shorter = (move: Float64Array): readonly Float64Array[] =>
  Array.from({ length: 7 }, (_, k) => move.map((x) => x / 2 ** k));

/**
 * Steps where the function is no hill: its curvature is bent down, more and more, by so much for the
 * square of a step along each axis, so that they turn to the gradient (Marquardt 1963, from memory).
 */
function dampedMoves(
  gradient: Float64Array,
  hessian: Float64Array,
  steps: Float64Array,
): readonly Float64Array[] {
  const n = steps.length;
  return DAMPINGS.flatMap((damping) => {
    const bent = hessian.map((x, at) => {
      const row = Math.floor(at / n);
      return at % n === row ? damping / steps[row]! ** 2 - x : -x;
    });
    const factor = factorIfPositive(bent, n);
    return factor === null ? [] : [choleskySolve(factor, n, gradient)];
  });
}

const DAMPINGS = Array.from({ length: 14 }, (_, k) => 0.05 * 4 ** k);

const clamp = (x: number, most: number): number => Math.max(-most, Math.min(most, x));

function derivatives(
  f: (point: Float64Array) => number,
  at: Float64Array,
  value: number,
  steps: Float64Array,
): { gradient: Float64Array; hessian: Float64Array } {
  const n = at.length;
  const moved = (i: number, di: number, j = 0, dj = 0): number => {
    const point = at.slice();
    point[i]! += di * steps[i]!;
    point[j]! += dj * steps[j]!;
    return f(point);
  };
  const up = Float64Array.from({ length: n }, (_, i) => moved(i, 1));
  const down = Float64Array.from({ length: n }, (_, i) => moved(i, -1));
  const gradient = up.map((u, i) => (u - down[i]!) / (2 * steps[i]!));
  const hessian = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    hessian[i * n + i] = (up[i]! + down[i]! - 2 * value) / steps[i]! ** 2;
    for (let j = 0; j < i; j++) {
      const cross =
        (moved(i, 1, j, 1) -
          up[i]! -
          up[j]! +
          2 * value -
          down[i]! -
          down[j]! +
          moved(i, -1, j, -1)) /
        (2 * steps[i]! * steps[j]!);
      hessian[i * n + j] = cross;
      hessian[j * n + i] = cross;
    }
  }
  return { gradient, hessian };
}

/** From L of a precision matrix to the columns of the Cholesky root of its inverse. */
function inverseRoot(factor: Float64Array, size: number): readonly Float64Array[] {
  const root = choleskyFactor(choleskyInverse(factor, size), size);
  return Array.from({ length: size }, (_, column) =>
    Float64Array.from({ length: size }, (_, row) => root[row * size + column]!),
  );
}
