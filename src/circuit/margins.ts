import type { Estimate } from "../domain/findings.ts";
import type { Margins, MissingFigure } from "../domain/margins.ts";
import type { TimerInput } from "../domain/pool.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { corners } from "./corners.ts";

/**
 * Thresholds of a 5 V TTL input [V].
 *
 * @see Kuphaldt, Lessons In Electric Circuits, vol. IV Digital, ch. 3 "Logic signal voltage
 *   levels".
 */
export const ttlInput: TimerInput = { lowMax: volts(0.8), highMin: volts(2) };

/** What is known about one circuit: intervals are carried through as they come. */
export interface CircuitState {
  /** E of the walk [V]. */
  readonly emf: Estimate;
  /** S up to the device, wires and contacts [Ω]; infinite for an open path. */
  readonly seriesOhms: Estimate;
  /** Rd of the closed switch [Ω]; null where no pressed reading was taken. */
  readonly switchOhms: Estimate | null;
}

/** The timer as seen from the path; null: nobody knows it. */
export interface TimerSide {
  /** Rs [Ω]; 0 says as little as null. */
  readonly sourceOhms: Ohms | null;
  readonly timerInput: TimerInput | null;
}

/**
 * Both margins of one circuit, or what is missing.
 *
 * The timer's own input stands at `V = E * X / (Rs + X)`, where `X = S + Rd` is all that lies
 * beyond it: the path and the device, no meter on it (model equation (3)). So it crosses a
 * threshold `V_t` where
 *
 *     X_t = Rs * V_t / (E - V_t)
 *
 * Each margin rises or falls with every one of its quantities, so that its bounds are reached
 * where all quantities stand at their worse or better end: exact for one uncertain quantity, and
 * never too narrow for several.
 */
export function margins({ sourceOhms, timerInput }: TimerSide, state: CircuitState): Margins {
  const missing: MissingFigure[] = [
    ...((sourceOhms ?? 0) > 0 ? [] : (["supply.source_ohms"] as const)),
    ...(timerInput ? [] : (["timer_input.low_max", "timer_input.high_min"] as const)),
  ];
  if (!timerInput || sourceOhms === null || missing.length > 0) return { kind: "ask", missing };
  const { emf, seriesOhms, switchOhms } = state;
  const closed = switchOhms ?? { median: 0, low: 0, high: 0 };
  return {
    kind: "known",
    switchKnown: switchOhms !== null,
    touch: corners(
      (e, series, device) =>
        roomLeft(crossingOhms(volts(e), sourceOhms, timerInput.lowMax), ohms(series + device)),
      [emf, seriesOhms, closed],
    ),
    rest: corners(
      (e, series) =>
        lowestLeak(crossingOhms(volts(e), sourceOhms, timerInput.highMin), ohms(series)),
      [emf, seriesOhms],
    ),
  };
}

/**
 * What must lie beyond the timer's input for it to stand at a threshold [Ω]; infinite where the
 * supply does not reach it.
 */
export function crossingOhms(emf: Volts, sourceOhms: Ohms, threshold: Volts): Ohms {
  if (emf <= threshold) return ohms(Number.POSITIVE_INFINITY);
  return ohms((sourceOhms * threshold) / (emf - threshold));
}

/** An open path misses every touch. */
const roomLeft = (crossing: Ohms, beyond: Ohms): number =>
  beyond === Number.POSITIVE_INFINITY ? Number.NEGATIVE_INFINITY : crossing - beyond;

/** An open path holds the line high whatever leaks behind it. */
const lowestLeak = (crossing: Ohms, series: Ohms): Ohms =>
  ohms(series === Number.POSITIVE_INFINITY ? 0 : Math.max(0, crossing - series));
