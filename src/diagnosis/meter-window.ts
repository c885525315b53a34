import type { Meter } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";

/** The chance that a zero without a time came from a meter that had switched itself off. */
const OFF_WITHOUT_TIMES = 0.02;

/**
 * The chance that the meter was off, for each reading of a walk, by its index.
 *
 * A meter switches itself off somewhere in its window, `offAfter` seconds after it was last switched
 * on: the chance rises linearly from 0 to 1 over the window. A reading marked `meterOn`, and one
 * after a pause longer than the window, starts a new window; so does a value other than zero after
 * the window has passed, for somebody must have switched the meter on again. Where no time of day
 * is given the chance is 0.02. Meaningful for zeros alone: a display that shows a value was on.
 */
export function meterOffChances(
  readings: readonly Reading[],
  meters: ReadonlyMap<string, Meter>,
): readonly number[] {
  const chances = new Array<number>(readings.length).fill(OFF_WITHOUT_TIMES);
  const timed = readings
    .map((reading, index) => ({ reading, index, at: reading.takenAt?.seconds ?? null }))
    .filter((entry): entry is typeof entry & { at: number } => entry.at !== null)
    .sort((a, b) => a.at - b.at || a.index - b.index);
  const state = new Map<string, { onSince: number; last: number }>();
  for (const { reading, index, at } of timed) {
    const window = meters.get(reading.meter)!.offAfter;
    if (window === null) continue;
    const [earliest, latest] = window;
    const before = state.get(reading.meter);
    const fresh =
      before === undefined ||
      reading.meterOn ||
      at - before.last > latest ||
      (reading.volts > 0 && at - before.onSince >= latest);
    const onSince = fresh ? at : before.onSince;
    state.set(reading.meter, { onSince, last: at });
    chances[index] = offBy(at - onSince, earliest, latest);
  }
  return chances;
}

function offBy(elapsed: number, earliest: number, latest: number): number {
  if (elapsed >= latest) return 1;
  if (elapsed <= earliest) return 0;
  return (elapsed - earliest) / (latest - earliest);
}
