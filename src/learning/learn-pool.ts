import type { Pool } from "../domain/pool.ts";
import { TO_EDGE } from "../numerics/normal.ts";
import { type PoolNumber, poolNumbers } from "./pool-numbers.ts";

/**
 * The pool file's own numbers by its walks: the maximum of
 *
 *     sum over walks  ln P(values | numbers)  +  five walks' worth of the numbers as they stand
 *
 * The second part is what so many walks would say on average if the present number p0 were right: for
 * a probability `n (p0 ln p + (1 - p0) ln(1 - p))`, for a logarithm `-n (ln x - ln x0)^2 / (2 s^2)`,
 * with n cases and their spread s. One number after the other, twice over; each by parabolas through
 * three points (Press et al., Numerical Recipes, section 10.3, from memory), so that the answer is the
 * same every time. The interval is the last parabola's, 90 %.
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
const SWEEPS = 2;
/** Points of one parabola after the other lie so far apart, in log odds or logarithms. */
const APARTS = [0.4, 0.1] as const;
/** A number that moves less than this has found its place. */
const SETTLED = 0.01;
/** No step goes further. */
const FURTHEST = 1.5;

const toScale = ({ scale }: PoolNumber, value: number): number =>
  scale === "odds" ? Math.log(value / (1 - value)) : Math.log(value);
const fromScale = ({ scale }: PoolNumber, at: number): number =>
  scale === "odds" ? 1 / (1 + Math.exp(-at)) : Math.exp(at);

/** What the present number is worth, at another. */
function lnBefore(number: PoolNumber, at: number): number {
  const cases = WORTH_WALKS * number.casesPerWalk;
  if (number.scale === "log") {
    const off = at - Math.log(number.value);
    return (-0.5 * cases * off * off) / number.caseSd ** 2;
  }
  const p = fromScale(number, at);
  return cases * (number.value * Math.log(p) + (1 - number.value) * Math.log(1 - p));
}

interface Top {
  readonly at: number;
  /** Minus the second derivative there. */
  readonly curve: number;
}

/** The top of a function of one number, from a start: parabola after parabola. */
function climb(f: (at: number) => number, start: number, atStart: number): Top {
  let at = start;
  let here = atStart;
  let curve = 0;
  for (let step = 0; step < APARTS.length; step++) {
    const apart = APARTS[step]!;
    if (step > 0) here = f(at);
    const [below, above] = [f(at - apart), f(at + apart)];
    curve = (2 * here - below - above) / apart ** 2;
    const slope = (above - below) / (2 * apart);
    const wanted = curve > 0 ? slope / curve : Math.sign(slope) * FURTHEST;
    const move = Math.max(-FURTHEST, Math.min(FURTHEST, wanted));
    at += move;
    if (Math.abs(move) < SETTLED) break;
  }
  return { at, curve: Math.max(curve, 1e-6) };
}

/**
 * Learns a pool's numbers. `logEvidence`: ln P(all displayed values of all walks) under a pool as it
 * would be. `progress` is told how many of the numbers are done.
 * Throws under `LEAST_WALKS`. `walks` [whole] is how many there are.
 */
export function learnPool(
  pool: Pool,
  walks: number,
  logEvidence: (pool: Pool) => number,
  progress: (done: number, of: number) => void = () => {},
): PoolProposal {
  if (walks < LEAST_WALKS) throw new Error(`${walks} walks: a pool learns from ${LEAST_WALKS} on`);
  const numbers = poolNumbers(pool);
  const tops: Top[] = numbers.map((number) => ({ at: toScale(number, number.value), curve: 1 }));
  let here = pool;
  const first = logEvidence(pool);
  let evidence = first;
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    numbers.forEach((number, i) => {
      progress(sweep * numbers.length + i, SWEEPS * numbers.length);
      const f = (at: number): number =>
        logEvidence(number.set(here, fromScale(number, at))) + lnBefore(number, at);
      const start = tops[i]!.at;
      tops[i] = climb(f, start, evidence + lnBefore(number, start));
      if (Math.abs(tops[i]!.at - start) < SETTLED / 2) return;
      here = number.set(here, fromScale(number, tops[i]!.at));
      evidence = logEvidence(here);
    });
  }
  return {
    walks,
    gain: evidence - first,
    numbers: numbers.map((number, i): LearntNumber => {
      const { at, curve } = tops[i]!;
      const reach = TO_EDGE / Math.sqrt(curve);
      return {
        key: number.key,
        unit: number.unit,
        now: number.value,
        proposed: fromScale(number, at),
        low: fromScale(number, at - reach),
        high: fromScale(number, at + reach),
      };
    }),
    pool: here,
  };
}
