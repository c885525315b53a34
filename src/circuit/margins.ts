import type { Estimate } from "../domain/findings.ts";
import type { Pool, TimerInput } from "../domain/pool.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { corners } from "./corners.ts";

/**
 * How far a circuit is from not registering a touch, and from registering one that nobody made.
 *
 * The timer's own input stands at `V = E * X / (Rs + X)`, where `X = S + Rd` is all that lies
 * beyond it: the path and the device, no meter on it (model equation (3)). So it crosses a
 * threshold `V_t` where
 *
 *     X_t = Rs * V_t / (E - V_t)
 *
 * @see Kuphaldt, Lessons In Electric Circuits, vol. IV Digital, ch. 3 "Logic signal voltage
 *   levels": a 5 V TTL input is low up to 0.8 V and high from 2.0 V.
 */
export type Margins =
  | {
      readonly kind: "known";
      /**
       * Ohms that the path can still gain before a touch is missed; negative where a touch is
       * missed already. An upper bound where `switchKnown` is false [Ω].
       */
      readonly touch: Estimate;
      /** False where no pressed reading was taken: the switch then counts as 0 Ω. */
      readonly switchKnown: boolean;
      /**
       * How low a leak across the device may fall before the resting line drops out of high; 0
       * where no leak at the device, however low, can do that [Ω].
       */
      readonly rest: Estimate;
    }
  | {
      /** Something about the timer is not known: ask its maker. */
      readonly kind: "ask";
      readonly missing: readonly TimerFigure[];
    };

/** A figure of the timer that only its maker can give, by its key in the pool file. */
export type TimerFigure = "supply.source_ohms" | "timer_input.low_max" | "timer_input.high_min";

/** What to ask the timer's maker for, one sentence a figure. */
export const askTheMaker: Readonly<Record<TimerFigure, string>> = {
  "supply.source_ohms":
    "the resistance between the timer's 5 V supply and its input (pull-up), in ohms",
  "timer_input.low_max": "the highest input voltage at which a touch still registers, in volts",
  "timer_input.high_min": "the lowest input voltage that still counts as untouched, in volts",
};

/** Thresholds of a 5 V TTL input [V]. */
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

/**
 * Both margins of one circuit, or what is missing.
 *
 * Each margin rises or falls with every one of its quantities, so that its bounds are reached
 * where all quantities stand at their worse or better end: exact for one uncertain quantity, and
 * never too narrow for several.
 */
export function margins(pool: Pick<Pool, "supply" | "timerInput">, state: CircuitState): Margins {
  const { sourceOhms } = pool.supply;
  const { timerInput } = pool;
  const missing: TimerFigure[] = [
    ...(sourceOhms > 0 ? [] : (["supply.source_ohms"] as const)),
    ...(timerInput ? [] : (["timer_input.low_max", "timer_input.high_min"] as const)),
  ];
  if (!timerInput || missing.length > 0) return { kind: "ask", missing };
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
