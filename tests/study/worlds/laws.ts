import type { Random } from "../random.ts";

/** The only thing that this generator shares with the rest: even draws in [0, 1). */
export type Uniform = Random["uniform"];

/** A law of chance: one draw at a time. */
export type Law = (uniform: Uniform) => number;

export const always =
  (value: number): Law =>
  () =>
    value;

/** Standard normal by Marsaglia's polar method (1964). */
export const standardNormal: Law = (uniform) => {
  for (;;) {
    const x = 2 * uniform() - 1;
    const y = 2 * uniform() - 1;
    const s = x * x + y * y;
    if (s > 0 && s < 1) return x * Math.sqrt((-2 * Math.log(s)) / s);
  }
};

export const normal =
  (mean: number, sd: number): Law =>
  (uniform) =>
    mean + sd * standardNormal(uniform);

/** `ln x ~ Normal(ln median, logSd)`. */
export const logNormal =
  (median: number, logSd: number): Law =>
  (uniform) =>
    median * Math.exp(logSd * standardNormal(uniform));

/** Evenly between two values. */
export const between =
  (low: number, high: number): Law =>
  (uniform) =>
    low + (high - low) * uniform();

/** Weibull by inversion: scale (-ln u)^(1/shape). */
export const weibull =
  (scale: number, shape: number): Law =>
  (uniform) =>
    scale * (-Math.log(1 - uniform())) ** (1 / shape);

/** Student's t, `scale` times a normal over the root of a mean square of `freedom` normals. */
export const studentT =
  (scale: number, freedom: number): Law =>
  (uniform) => {
    let squares = 0;
    for (let i = 0; i < freedom; i++) squares += standardNormal(uniform) ** 2;
    return (scale * standardNormal(uniform)) / Math.sqrt(squares / freedom);
  };

/** The first law with chance `share`, else the second. */
export const mixed =
  (share: number, first: Law, second: Law): Law =>
  (uniform) =>
    (uniform() < share ? first : second)(uniform);

export const happens = (uniform: Uniform, chance: number): boolean => uniform() < chance;

export const pick = <T>(uniform: Uniform, list: readonly T[]): T =>
  list[Math.floor(uniform() * list.length)]!;
