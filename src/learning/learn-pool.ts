import type { Pool } from "../domain/pool.ts";
import { choleskyInverse, factorIfPositive } from "../numerics/cholesky.ts";
import { TO_EDGE } from "../numerics/normal.ts";
import { fromScale, type PoolNumber, poolNumbers, toScale } from "./pool-numbers.ts";

/**
 * The pool file's own numbers by its walks: the maximum of
 *
 *     sum over walks  ln P(values | numbers)  +  five walks' worth of the numbers as they stand
 *
 * The second part is what so many walks would say on average if the present number p0 were right: for
 * a probability `n (p0 ln p + (1 - p0) ln(1 - p))`, for a logarithm `-n (ln x - ln x0)^2 / (2 s^2)`,
 * with n cases and the spread s of one as a walk shows it. One number after the other, until none
 * moves; each by parabolas through three points (Press et al., Numerical Recipes, section 10.3, from
 * memory), so that the answer is the same every time. The interval, 90 %, is that of a normal with the
 * curvature of all numbers together: what one may be while the others are whatever goes with it.
 */
export interface LearntNumber {
  readonly key: string;
  readonly unit: PoolNumber["unit"];
  /** As the pool file has it [as its key says; any]. */
  readonly now: number;
  /** As the walks have it [as its key says; any]. */
  readonly proposed: number;
  /** 5 % is below [as its key says; at most `proposed`]. */
  readonly low: number;
  /** 5 % is above [as its key says; at least `proposed`]. */
  readonly high: number;
}

/** What is proposed; nothing is changed. */
export interface PoolProposal {
  /** How many it was learnt from [whole]. */
  readonly walks: number;
  /** ln of how much likelier the walks are with the proposed numbers [nat; 0 or more]. */
  readonly gain: number;
  readonly numbers: readonly LearntNumber[];
  /** The pool as it would be. */
  readonly pool: Pool;
}

/** Walks from which on a pool's numbers are learnt, and what the present ones are worth. */
export const LEAST_WALKS = 5;
const WORTH_WALKS = 5;
const MOST_SWEEPS = 12;
/** Points of one parabola after the other lie so far apart, in log odds or logarithms. */
const APARTS = [0.4, 0.1] as const;
/** A number that moves less than this has found its place. */
const SETTLED = 0.01;
/** No step goes further. */
const FURTHEST = 1.5;
/** Points between which the curvature of all numbers together is taken. */
const CURVED = 0.2;
const LEAST_CURVE = 1e-6;

/** What the present number is worth, at another. */
function lnBefore(number: PoolNumber, at: number): number {
  const cases = WORTH_WALKS * number.casesPerWalk;
  if (number.form === "law") {
    const off = at - Math.log(number.value);
    return (-0.5 * cases * off * off) / number.caseSd ** 2;
  }
  const p = fromScale(number, at);
  return cases * (number.value * Math.log(p) + (1 - number.value) * Math.log(1 - p));
}

/** Between what a number is looked for. */
type Bounds = readonly [low: number, high: number];

/** The top of a function of one number, from a start: parabola after parabola. */
function climb(f: (at: number) => number, start: number, [low, high]: Bounds): number {
  let at = start;
  for (const apart of APARTS) {
    const [below, here, above] = [f(at - apart), f(at), f(at + apart)];
    const curve = (2 * here - below - above) / apart ** 2;
    const slope = (above - below) / (2 * apart);
    const wanted = curve > 0 ? slope / curve : Math.sign(slope) * FURTHEST;
    const move = Math.max(-FURTHEST, Math.min(FURTHEST, wanted));
    const next = Math.max(low, Math.min(high, at + move));
    const moved = Math.abs(next - at);
    at = next;
    if (moved < SETTLED) break;
  }
  return at;
}

/** Each number's standard deviation, the others free: by the inverse of minus all second derivatives. */
function spreads(f: (at: readonly number[]) => number, top: readonly number[]): readonly number[] {
  const size = top.length;
  const moved = (...moves: readonly (readonly [number, number])[]): number =>
    f(moves.reduce((at, [i, off]) => at.with(i, at[i]! + off), [...top]));
  const here = f(top);
  const curves = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    const own = (2 * here - moved([i, -CURVED]) - moved([i, CURVED])) / CURVED ** 2;
    curves[i * size + i] = Math.max(LEAST_CURVE, own);
    for (let j = 0; j < i; j++) {
      const [up, down] = [CURVED, -CURVED];
      const same = moved([i, up], [j, up]) + moved([i, down], [j, down]);
      const other = moved([i, up], [j, down]) + moved([i, down], [j, up]);
      curves[i * size + j] = (other - same) / (4 * CURVED ** 2);
      curves[j * size + i] = curves[i * size + j]!;
    }
  }
  const factor = factorIfPositive(curves, size);
  const inverse = factor === null ? null : choleskyInverse(factor, size);
  return top.map((_, i) => Math.sqrt(inverse?.[i * size + i] ?? 1 / curves[i * size + i]!));
}

/** Where a pool's numbers are the likeliest. */
export interface LearntTop {
  readonly numbers: readonly PoolNumber[];
  /** By number, on its scale. */
  readonly at: readonly number[];
  /** The pool as it would be. */
  readonly pool: Pool;
  /** ln of evidence and prior, at any place. */
  readonly log: (at: readonly number[]) => number;
}

/**
 * The numbers' likeliest values, by what the walks say and what the present ones are worth.
 *
 * @param from With the numbers to begin at.
 * @param reach How far a number may go from there, on its scale.
 */
export function findTop(
  pool: Pool,
  logEvidence: (pool: Pool) => number,
  from: Pool = pool,
  reach: (number: PoolNumber) => number = () => Number.POSITIVE_INFINITY,
): LearntTop {
  const numbers = poolNumbers(pool);
  const begun = new Map(poolNumbers(from).map((number) => [number.key, number.value]));
  const poolAt = (at: readonly number[]): Pool =>
    numbers.reduce((to, number, i) => number.set(to, fromScale(number, at[i]!)), pool);
  const log = (at: readonly number[]): number =>
    numbers.reduce((sum, number, i) => sum + lnBefore(number, at[i]!), logEvidence(poolAt(at)));
  let at = numbers.map((number) => toScale(number, begun.get(number.key) ?? number.value));
  const bounds = at.map((own, i): Bounds => [own - reach(numbers[i]!), own + reach(numbers[i]!)]);
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    const before = at;
    for (const i of numbers.keys()) {
      at = at.with(
        i,
        climb((own) => log(at.with(i, own)), at[i]!, bounds[i]!),
      );
    }
    if (at.every((own, i) => Math.abs(own - before[i]!) < SETTLED)) break;
  }
  return { numbers, at, pool: poolAt(at), log };
}

/** The top as a proposal, each number with its interval. */
export function proposalOf(
  { numbers, at, pool, log }: LearntTop,
  walks: number,
  gain: number,
): PoolProposal {
  const sds = spreads(log, at);
  return {
    walks,
    gain,
    numbers: numbers.map((number, i): LearntNumber => {
      const reach = TO_EDGE * sds[i]!;
      return {
        key: number.key,
        unit: number.unit,
        now: number.value,
        proposed: fromScale(number, at[i]!),
        low: fromScale(number, at[i]! - reach),
        high: fromScale(number, at[i]! + reach),
      };
    }),
    pool,
  };
}

/**
 * Learns a pool's numbers. `logEvidence`: ln P(all displayed values of all walks) under a pool as it
 * would be, or over that of any one pool; it is asked several hundred times. Throws under `LEAST_WALKS`.
 * `walks` [whole] is how many there are.
 */
export function learnPool(
  pool: Pool,
  walks: number,
  logEvidence: (pool: Pool) => number,
): PoolProposal {
  assertEnough(walks);
  const top = findTop(pool, logEvidence);
  return proposalOf(top, walks, logEvidence(top.pool) - logEvidence(pool));
}

export function assertEnough(walks: number): void {
  if (walks < LEAST_WALKS) throw new Error(`${walks} walks: a pool learns from ${LEAST_WALKS} on`);
}
