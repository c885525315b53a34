import type { MeetSettings } from "../domain/meet.ts";
import type { Pool } from "../domain/pool.ts";
import { lanesApart, type Stop } from "./round-order.ts";

/** Readings that fit between switching the meter on and its earliest switching off. */
export interface MeterWindow {
  readonly stops: readonly Stop[];
  /** From switching on to the end of its last reading [s]. */
  readonly seconds: number;
}

/** Time on the way to a stop, before the meter is put on [s]. */
function approach(stops: readonly Stop[], i: number, pool: Pool, settings: MeetSettings): number {
  const [before, here] = [stops[i - 1], stops[i]];
  if (here === undefined) throw new Error(`no stop ${i}`);
  const { laneWalk, plateOpening } = settings.seconds;
  const sameLane = before?.place === here.place && before.lane === here.lane;
  const walked =
    before === undefined || sameLane || here.place === "timer"
      ? 0
      : before.place === "timer"
        ? laneWalk
        : laneWalk * lanesApart(pool, before.lane, here.lane);
  const opens =
    settings.openedPoints.includes(here.point) && !(sameLane && before?.point === here.point);
  return walked + (opens ? plateOpening : 0);
}

/** Time of the whole round: readings, walking and opening [s]. */
export const roundSeconds = (stops: readonly Stop[], pool: Pool, settings: MeetSettings): number =>
  stops.reduce(
    (sum, _, i) => sum + approach(stops, i, pool, settings) + settings.seconds.reading,
    0,
  );

/**
 * Groups a round into windows in which the meter stays on: `onSeconds`, its earliest switching off.
 *
 * No window goes on over a walk: on a wet deck nobody vouches for six seconds, and "switch on when
 * you get there" is a rule that holds. Otherwise fewest windows; among those, breaks at a cover or a
 * new point rather than between two readings of one point. The way to a window's first stop does
 * not count. Exact (dynamic programming over the breaks). A single reading longer than the meter
 * stays on is a window of its own.
 */
export function meterWindows(
  stops: readonly Stop[],
  pool: Pool,
  settings: MeetSettings,
  onSeconds: number,
): MeterWindow[] {
  const way = stops.map((_, i) => approach(stops, i, pool, settings));
  const reading = settings.seconds.reading;
  // best[i]: cheapest grouping of the first i stops, as [windows, breaks in awkward places]
  const best: { windows: number; awkward: number; from: number; seconds: number }[] = [
    { windows: 0, awkward: 0, from: 0, seconds: 0 },
  ];
  for (let end = 1; end <= stops.length; end += 1) {
    let choice: (typeof best)[number] | null = null;
    let seconds = 0;
    for (let start = end - 1; start >= 0; start -= 1) {
      seconds += reading + (start + 1 < end ? (way[start + 1] ?? 0) : 0);
      if (start < end - 1 && (seconds > onSeconds || walksTo(stops, start + 1))) break;
      const before = best[start]!;
      const awkward = before.awkward + awkwardness(stops, way, start);
      const windows = before.windows + 1;
      const better =
        choice === null ||
        windows < choice.windows ||
        (windows === choice.windows && awkward < choice.awkward);
      if (better) choice = { windows, awkward, from: start, seconds };
    }
    best.push(choice!);
  }
  const windows: MeterWindow[] = [];
  for (let end = stops.length; end > 0; ) {
    const { from, seconds } = best[end]!;
    windows.unshift({ stops: stops.slice(from, end), seconds });
    end = from;
  }
  return windows;
}

const walksTo = (stops: readonly Stop[], i: number): boolean =>
  stops[i]?.place === "lane" &&
  (stops[i - 1]?.place !== "lane" || stops[i - 1]?.lane !== stops[i]?.lane);

/** How unwelcome a break just before this stop is: 0 at a walk, 1 at a new point, 2 within one. */
function awkwardness(stops: readonly Stop[], way: readonly number[], start: number): number {
  if (start === 0 || (way[start] ?? 0) > 0) return 0;
  return stops[start - 1]?.point === stops[start]?.point &&
    stops[start - 1]?.lane === stops[start]?.lane
    ? 2
    : 1;
}
