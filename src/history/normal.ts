import { errorFunction, probit } from "simple-statistics";

/** Density of the standard normal distribution at `z`. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** P(Z <= z), to 1e-7. */
export const normalCdf = (z: number): number => 0.5 * (1 + errorFunction(z * Math.SQRT1_2));

/** The `z` with P(Z <= z) = p, for 0 < p < 1: the library's estimate, twice refined by Newton. */
export function normalQuantile(p: number): number {
  let z = probit(p);
  for (let i = 0; i < 2; i++) z -= (normalCdf(z) - p) / normalDensity(z);
  return z;
}

/** Half-width of a central interval in standard deviations: 1.2816 for 0.8, 1.6449 for 0.9. */
export const halfWidth = (coverage: number): number => normalQuantile(0.5 + coverage / 2);
