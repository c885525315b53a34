import { normalDensity } from "../numerics/normal.ts";
import type { LogNormalPart } from "./problem.ts";

/** A log-normal part as its density needs it. */
export interface Curve {
  readonly lnMedian: number;
  readonly logSd: number;
  /** Its share over its width: what the normal's density counts for. */
  readonly height: number;
}

const known = new WeakMap<readonly LogNormalPart[], readonly Curve[]>();

/** A law's parts, worked out once: densities are asked for by the thousand. */
export function curvesOf(law: readonly LogNormalPart[]): readonly Curve[] {
  let curves = known.get(law);
  if (curves === undefined) {
    curves = law.map(({ share, medianOhms, logSd }) => {
      return { lnMedian: Math.log(medianOhms), logSd, height: share / logSd };
    });
    known.set(law, curves);
  }
  return curves;
}

/** A law's density per unit of ln ohm. */
export const lawDensity = (law: readonly LogNormalPart[], lnR: number): number =>
  densityAt(curvesOf(law), lnR);

/** The same where the law's curves are at hand. */
export function densityAt(curves: readonly Curve[], lnR: number): number {
  let sum = 0;
  for (let k = 0; k < curves.length; k++) {
    const { lnMedian, logSd, height } = curves[k]!;
    sum += height * normalDensity((lnR - lnMedian) / logSd);
  }
  return sum;
}
