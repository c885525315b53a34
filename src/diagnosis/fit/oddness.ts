import type { ReadingInference } from "../../inference/circuit-sums.ts";
import { normalQuantile } from "../../numerics/normal.ts";
import { recursiveResiduals } from "../../numerics/recursive-residuals.ts";
import { runsOf } from "../../numerics/runs.ts";

/**
 * How odd a row of readings is under the model, in the walk's order.
 *
 * Of each reading the exact sums give what all others let expect in its place, P(less) and P(this
 * value). With u = P(less) + P(this) / 2, uniform if the model holds but for the display's steps:
 *
 *     single values   q_i = 2 min(u_i, 1 - u_i)        p_1 = 1 - (1 - min q_i)^n
 *     runs            z_i = F^-1(u_i), freed of what ties them, neighbours and level along the order:
 *                     p_2, p_3 (`runs.ts`)
 *     together        p = 1 - (1 - min(p_1, ..., p_m))^m
 *
 * m = 3 from `RUNS_FROM` readings on, under it only single values are asked (m = 1). The powers are
 * Šidák's for independent questions (1967, JASA 62, 626-633); these are nearly so. What others let
 * expect follows the EMF and its drift, a line along the order that every reading has a part in: each
 * z is what a least-squares line leaves of independent values, over its own deviation. Held against the
 * line through those before it alone, they are independent again.
 */
export interface Oddness {
  readonly p: number;
  /** By reading, two-sided. */
  readonly single: readonly number[];
  /** The z of each reading. */
  readonly z: readonly number[];
  /** Which of the questions has the smallest p. */
  readonly by: "single" | "neighbours" | "level";
}

/** So many readings tell a run from chance. */
const RUNS_FROM = 10;
/** No value is odder than the arithmetic of the sums. */
const LEAST = 1e-12;

export function oddnessOf(expected: readonly ReadingInference["expected"][]): Oddness {
  const u = expected.map(({ below, same }) =>
    Math.min(1 - LEAST, Math.max(LEAST, below + same / 2)),
  );
  const single = u.map((at) => 2 * Math.min(at, 1 - at));
  const z = u.map(normalQuantile);
  const n = u.length;
  const values = n === 0 ? 1 : sidak(Math.min(...single), n);
  if (n < RUNS_FROM) return { p: values, single, z, by: "single" };
  const { neighbours, level } = runsOf(recursiveResiduals(leftOver(z)));
  const least = Math.min(values, neighbours, level);
  const by = least === values ? "single" : least === level ? "level" : "neighbours";
  return { p: sidak(least, 3), single, z, by };
}

/** A line's residuals from residuals over their own deviations, sqrt(1 - h_i), h_i its leverage. */
function leftOver(z: readonly number[]): readonly number[] {
  const n = z.length;
  const squares = (n * (n * n - 1)) / 12;
  return z.map((value, i) => value * Math.sqrt(1 - 1 / n - (i - (n - 1) / 2) ** 2 / squares));
}

/** P(the least of n independent p-values is as small). */
const sidak = (p: number, n: number): number => -Math.expm1(n * Math.log1p(-Math.min(p, 1)));
