import { bisect, gamma } from "simple-statistics";

/**
 * When to replace a part that wears out, before it breaks down: age replacement.
 *
 * A part of Weibull life is replaced on reaching age T at a planned cost, or on breaking down before
 * that at a higher one. The long-run cost rate is `[cp R(T) + cf F(T)] / int_0^T R(t) dt`, and its
 * minimum is where `h(T) int_0^T R dt - F(T) = cp / (cf - cp)`, `h` the hazard. For shape > 1 the
 * left side rises from 0 without bound, so the root exists and is the only one; otherwise, or where
 * a breakdown costs no more than planned work, nothing is gained by planning.
 *
 * Source: Barlow and Hunter, "Optimum preventive maintenance policies", Operations Research 8 (1960).
 */

/** A Weibull life: `R(t) = exp(-(t / scale)^shape)`. Scale and ages share one unit of time. */
export interface Life {
  /** 1 breaks down at any age alike, above 1 wears out [1; over 0]. */
  readonly shape: number;
  /** Age by which 63 % have broken down [any unit of time; over 0]. */
  readonly scale: number;
}

/** The best age, and what it costs per unit of time in the long run. */
export interface BestAge {
  /** Infinite: run it until it breaks down [the life's unit of time; over 0]. */
  readonly age: number;
  /** Cost in the long run at that age [cost per unit of time; over 0]. */
  readonly costRate: number;
  /** The cost rate of running it until it breaks down [cost per unit of time; over 0]. */
  readonly runToBreakdownRate: number;
}

/** P(still working at age t). */
export const survival = (life: Life, t: number): number =>
  Math.exp(-((t / life.scale) ** life.shape));

/** P(still working `more` after age t | working at t); right in the far tail too. */
export const survivalBeyond = (life: Life, t: number, more: number): number =>
  Math.exp((t / life.scale) ** life.shape - ((t + more) / life.scale) ** life.shape);

/** Breakdowns per unit of time of those still working at age t. */
export const hazard = (life: Life, t: number): number =>
  (life.shape / life.scale) * (t / life.scale) ** (life.shape - 1);

/**
 * `int_0^t R`, by the series of the lower incomplete gamma function: with `x = (t/scale)^shape`,
 * `t e^-x (1 + x/(1+s) + x^2/((1+s)(2+s)) + ...)`, `s = 1/shape`; every term is positive.
 */
export function meanLifeUpTo(life: Life, t: number): number {
  const x = (t / life.scale) ** life.shape;
  if (x > 700) return meanLife(life);
  const inverse = 1 / life.shape;
  let term = 1;
  let sum = 1;
  for (let k = 1; term > sum * 1e-17; k += 1) {
    term *= x / (k + inverse);
    sum += term;
  }
  return t * Math.exp(-x) * sum;
}

/** The mean life. */
export const meanLife = (life: Life): number => life.scale * gamma(1 + 1 / life.shape);

/**
 * The age that costs least in the long run, exact up to the root finder's 1e-10 of the scale.
 *
 * @param planned Cost of replacing at that age [cost; over 0].
 * @param breakdown Cost of a breakdown, replacing included [cost; over 0].
 */
export function bestReplacementAge(life: Life, planned: number, breakdown: number): BestAge {
  const runToBreakdownRate = breakdown / meanLife(life);
  const never = { age: Number.POSITIVE_INFINITY, costRate: runToBreakdownRate, runToBreakdownRate };
  if (life.shape <= 1 || breakdown <= planned) return never;
  const goal = planned / (breakdown - planned);
  const gain = (t: number): number =>
    hazard(life, t) * meanLifeUpTo(life, t) - (1 - survival(life, t)) - goal;
  let high = life.scale;
  while (gain(high) < 0) {
    high *= 2;
    if (survival(life, high) === 0) return never;
  }
  const age = bisect(gain, 0, high, 200, 1e-10 * life.scale);
  return { age, costRate: hazard(life, age) * (breakdown - planned), runToBreakdownRate };
}
