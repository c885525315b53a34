import { lastPoint } from "../../domain/circuit.ts";
import { type Fit, isMisfit, LEAST_FIT } from "../../domain/findings.ts";
import { circuitName } from "../../domain/place.ts";
import type { PosedWalk } from "../walk-problem.ts";
import type { WalkFit } from "./walk-fit.ts";

/** A walk's fit as a finding, and of each circuit the points to read again for it. */
export interface FoundFit {
  readonly fit: Fit;
  readonly misfits: readonly (readonly string[])[];
}

/**
 * Where the walk does not fit no circuit does: each is to be read again at its own worst points, else
 * at its end. Where the walk fits, a circuit is held against `LEAST_FIT` over their number.
 */
export function fitFound({ order, circuits, problem }: PosedWalk, found: WalkFit | null): FoundFit {
  if (found === null) return { fit: { p: null, worst: [] }, misfits: circuits.map(() => []) };
  const placeOf = (number: number): Fit["worst"][number] => {
    const reading = order.readings[number]!;
    return { ...circuitName(reading), point: reading.point };
  };
  const pointOf = (number: number): string => order.readings[number]!.point;
  const fit: Fit = { p: found.p, worst: found.worst.map(placeOf) };
  return {
    fit,
    misfits: circuits.map((circuit, c) => {
      const { p, oddest } = found.circuits[c]!;
      const isOdd = p < LEAST_FIT / circuits.length;
      if (!isMisfit(fit)) return isOdd ? [pointOf(oddest)] : [];
      const own = new Set(problem.circuits[c]!.readings.flat().map(({ index }) => index));
      const worst = found.worst.filter((number) => own.has(number)).map(pointOf);
      return worst.length > 0 ? [...new Set(worst)] : [lastPoint(circuit)];
    }),
  };
}
