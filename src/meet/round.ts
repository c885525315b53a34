import { limitVolts } from "../circuit/limit.ts";
import { longestCircuit } from "../domain/circuit.ts";
import { meetSettings } from "../domain/meet.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import type { Volts } from "../domain/units.ts";
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
  /** Under it, at its last point and on this meter, a path is weak [V]; null: not known on this meter. */
  readonly limit: Volts | null;
  /** How many readings it is [whole]. */
  readonly readings: number;
  /** Readings, walking and opening [s]. */
  readonly seconds: number;
  /** Lanes walked from one place to the next, all told [lanes; whole, 0 or more]. */
  readonly lanesWalked: number;
}

/** Each point's values: of the longest path, and of another where that one does not pass it. */
function expectedOnRound(pool: Pool, meter: Meter): readonly ExpectedReading[] | null {
  let found: readonly ExpectedReading[] | null = null;
  for (const circuit of [longestCircuit(pool.circuits), ...pool.circuits]) {
    const known: ReadonlySet<string> = new Set(found?.map(({ point }) => point));
    if (circuit.path.every(({ point }) => known.has(point))) continue;
    const own = expectedReadings(circuit, pool.contact.sound, meter);
    if (own === null) return null;
    found = [...(found ?? []), ...own.filter(({ point }) => !known.has(point))];
  }
  return found;
}

/** A limit in volts is one meter's; one in ohms is seen by any whose load is known. */
const limitOnMeter = ({ limit, supplies }: Pool, meter: Meter): Volts | null =>
  "ohms" in limit || limit.meter === meter.name
    ? limitVolts({ limit, supplies, meters: [meter] })
    : null;

/** Plans the round: least walking, windows of the meter, values to expect at this pool. */
export function planRound(pool: Pool, meter: Meter, from: "first" | "last" = "first"): Round {
  const settings = meetSettings(pool);
  const stops = roundOrder(pool, from);
  return {
    pool: pool.name,
    meter,
    windows: meterWindows(stops, pool, settings, meter.offAfter?.[0] ?? Number.POSITIVE_INFINITY),
    expected: expectedOnRound(pool, meter),
    limit: limitOnMeter(pool, meter),
    readings: stops.length,
    seconds: roundSeconds(stops, pool, settings),
    lanesWalked: lanesWalked(pool, stops),
  };
}
