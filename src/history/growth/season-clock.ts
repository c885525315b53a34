/**
 * The season's clock: weeks in which contacts grow. Where no walk was made for much longer than
 * usual the pool stood idle, and a week counts by the idle factor.
 */
export interface SeasonClock {
  /** Idle stretches: from day, to day. */
  readonly idle: readonly (readonly [number, number])[];
  readonly factor: number;
}

/** A gap so many times the usual one, and at least so many days longer, is an idle stretch. */
const TIMES = 2.2;
const LONGER = 14;

/** Idle stretches: gaps between walks, less one usual gap. `days` in the order of time. */
export function idleStretches(days: Float64Array): readonly (readonly [number, number])[] {
  const gaps = Array.from(days.subarray(1), (day, i) => day - days[i]!).filter((gap) => gap > 0);
  if (gaps.length < 3) return [];
  const usual = gaps.toSorted((a, b) => a - b)[Math.floor(gaps.length / 2)]!;
  return Array.from(days.subarray(1), (day, i): readonly [number, number] => [
    days[i]! + usual / 2,
    day - usual / 2,
  ]).filter(([from, to]) => to - from + usual > TIMES * usual && to - from >= LONGER);
}

/** Weeks in front of a walk, a day at least: what may have happened in them has a rate. */
export const gapBefore = (clock: Float64Array, walk: number): number =>
  Math.max(1 / 7, clock[walk]! - clock[walk - 1]!);

/** Weeks on the clock from day 0 to a day. */
export function clockAt({ idle, factor }: SeasonClock, day: number): number {
  let days = day;
  for (const [from, to] of idle) {
    if (day > from) days -= (1 - factor) * (Math.min(day, to) - from);
  }
  return days / 7;
}
