import { longestCircuit } from "../domain/circuit.ts";
import { meetDefaults } from "../domain/meet.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import { type ExpectedReading, expectedReadings } from "./expected-reading.ts";
import { type MeterWindow, meterWindows, roundSeconds } from "./meter-windows.ts";
import { lanesWalked, roundOrder } from "./round-order.ts";

/** A round of readings, ready to be walked. */
export interface Round {
  readonly pool: string;
  readonly meter: Meter;
  readonly windows: readonly MeterWindow[];
  /** By point, in the chain's order; null where nobody knows the meter's load. */
  readonly expected: readonly ExpectedReading[] | null;
  readonly readings: number;
  /** Readings, walking and opening [s]. */
  readonly seconds: number;
  readonly lanesWalked: number;
}

/** Plans the round: least walking, windows of the meter, values to expect at this pool. */
export function planRound(pool: Pool, meter: Meter, from: "first" | "last" = "first"): Round {
  const settings = pool.meet ?? meetDefaults;
  const stops = roundOrder(pool, from);
  return {
    pool: pool.name,
    meter,
    windows: meterWindows(stops, pool, settings, meter.offAfter?.[0] ?? Number.POSITIVE_INFINITY),
    expected: expectedReadings(longestCircuit(pool.circuits), pool.contact.sound, meter),
    readings: stops.length,
    seconds: roundSeconds(stops, pool, settings),
    lanesWalked: lanesWalked(pool, stops),
  };
}
