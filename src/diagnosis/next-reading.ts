import { circuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { chainPools, partKey, readingsOf } from "./chain-pool.ts";
import {
  type NextAdvice,
  type NextReading,
  nextInChain,
  READING_TIMES,
  type ReadingTimes,
} from "./next-in-chain.ts";

/**
 * The best readings to take now, of all circuits: those of each of the pool's parts
 * (`next-in-chain.ts`), most bits per second first.
 */
export function nextReadings(
  pool: Pool,
  readings: readonly Reading[],
  most = 5,
  times: ReadingTimes = READING_TIMES,
): NextAdvice {
  const last = readings.at(-1);
  const advice = chainPools(pool).map((part) => {
    const own = readingsOf(pool, part, readings);
    const found = nextInChain(part, own, most, times, last?.lane ?? null);
    const named = found.readings.map((one): NextReading => {
      const circuit = part.circuits!.get(partKey({ lane: one.lane!, device: one.device }))!;
      return { ...one, ...circuitName(circuit) };
    });
    return { ...found, readings: named };
  });
  const readingsToTake = advice
    .flatMap((one) => one.readings)
    .sort((a, b) => b.bitsPerSecond - a.bitsPerSecond)
    .slice(0, most);
  if (readingsToTake.length > 0) return { readings: readingsToTake, stop: null };
  const settled = advice.every(({ stop }) => stop === "all-settled");
  return { readings: [], stop: settled ? "all-settled" : "nothing-worth-taking" };
}
