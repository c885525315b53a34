import { normalQuantile } from "./normal.ts";

/**
 * Coordinates of evenly spread points: nothing is drawn at random, the same table every time.
 *
 * Source: Richtmyer's sequence, multiples of the square roots of primes modulo 1, for the first
 * coordinates (Niederreiter, Random Number Generation and Quasi-Monte Carlo Methods, 1992, chapter
 * 3), and Weyl's sequence of squares for the many that matter little.
 */
const PRIMES = primesUpTo(800);

function primesUpTo(most: number): readonly number[] {
  const primes: number[] = [];
  for (let n = 2; n <= most; n++) if (primes.every((prime) => n % prime !== 0)) primes.push(n);
  return primes;
}

const roots = Float64Array.from({ length: 4096 }, (_, d) => {
  const root = Math.sqrt(PRIMES[d % PRIMES.length]!);
  return root * (1 + Math.floor(d / PRIMES.length));
});

/** Coordinate `d` of point `n`, in [0, 1). */
export function latticeAt(n: number, d: number): number {
  const value = (n + 0.5) * roots[d]!;
  return value - Math.floor(value);
}

/** Coordinate `d` of point `n` in [0, 1), for coordinates beyond counting. */
export function scatteredAt(n: number, d: number): number {
  const value = (n + 1) * (0.5 * n * roots[d]! + (d + 0.5) * GOLDEN);
  return value - Math.floor(value);
}

/** The golden section. */
const GOLDEN = 0.6180339887498949;

/** Standard normal coordinates of the first points, by coordinate. */
const normals = new Map<number, Float64Array>();
export function normalLattice(d: number, count: number): Float64Array {
  const known = normals.get(d);
  if (known !== undefined && known.length >= count) return known;
  const made = Float64Array.from({ length: count }, (_, n) => normalQuantile(latticeAt(n, d)));
  normals.set(d, made);
  return made;
}
