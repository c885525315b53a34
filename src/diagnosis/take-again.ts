import type { TakeAgain } from "../domain/findings.ts";
import type { Lane } from "../domain/place.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import type { WeighedReading } from "./walk-model.ts";

/** A value more likely wrong than right is taken again. */
const DOUBTED = 0.5;

/** A reading with P(the value does not show the path | all readings). */
export interface DoubtedReading {
  readonly weighed: WeighedReading;
  readonly doubt: number;
}

/** Which of the readings at one point of a circuit should be taken again, and why. */
export function takeAgainAt(
  lane: Lane,
  device: string,
  doubted: readonly DoubtedReading[],
): readonly TakeAgain[] {
  return doubted.flatMap(({ weighed, doubt }) => {
    const { reading, meterOff } = weighed;
    const zero = reading.volts === 0;
    const timed = reading.takenAt?.seconds != null;
    const mayBeOff = zero && timed && meterOff > 0;
    if (!mayBeOff && doubt < DOUBTED) return [];
    const reason = zero
      ? `it reads 0 V, and the meter ${mayBeOff ? "may have" : "has probably"} switched itself off`
      : `${reading.volts} V does not fit the other readings of this circuit: misread or mistyped`;
    const { point, volts, line } = reading;
    return [{ lane, device, end: null, point, volts, line, doubt, reason }];
  });
}

/**
 * P(the value does not show the path | all readings): its floor's share of its likelihood, where
 * `behind` is the probability of the path by node of the mesh, at resistances `t`.
 */
export function doubtOf(
  { loadOhms, loopOhms, display }: WeighedReading,
  emf: number,
  t: Float64Array,
  behind: Float64Array,
): number {
  let doubt = 0;
  let present = 0;
  for (let m = 0; m < t.length; m++) {
    const volts = (emf * loadOhms) / (loopOhms + t[m]!);
    doubt += (behind[m]! * display.floor) / likelihoodAt(display, volts);
    present += behind[m]!;
  }
  doubt += (Math.max(0, 1 - present) * display.floor) / likelihoodAt(display, 0);
  return Math.min(1, Math.max(0, doubt));
}
