import { errorFunction } from "simple-statistics";
import { normalQuantile } from "./normal.ts";

/** P(Z <= z) for inner loops: absolute error under 1e-7, relative error under 1e-6 to z = -6. */
export const fastNormalCdf = (z: number): number => 0.5 * (1 + errorFunction(z * Math.SQRT1_2));

/** Half-width of a central interval in standard deviations: 1.2816 for 0.8, 1.6449 for 0.9. */
export const halfWidth = (coverage: number): number => normalQuantile(0.5 + coverage / 2);
