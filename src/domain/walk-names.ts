import { dayNumber } from "./calendar.ts";
import { type CircuitName, circuitKey, circuitName, servedBy } from "./place.ts";
import type { Pool } from "./pool.ts";
import type { Moment, Reading } from "./reading.ts";
import type { WorkEntry } from "./work.ts";

/** A silence that ends a walk [s]: six hours. */
export const SILENCE = 6 * 3600;

/** What is needed of a reading to tell its walk. */
export type WalkRow = Pick<Reading, "walk" | "takenAt">;

/**
 * The walk's id is a date and no name: it is a calendar day, at most one from the reading's own, and the
 * reading has a time of day. Such readings are walks by their times; midnight ends nothing.
 */
export function isByTime({ walk, takenAt }: WalkRow): boolean {
  if (takenAt === null || takenAt.seconds === null) return false;
  if (walk === takenAt.day) return true;
  const [named, own] = [dayNumber(walk), dayNumber(takenAt.day)];
  return named !== null && own !== null && Math.abs(named - own) <= 1;
}

/** Readings whose walks go by time, asked for one by one: there may be a million. */
export interface TimedRows {
  readonly count: number;
  readonly moment: (row: number) => Moment;
  readonly circuit: (row: number) => CircuitName;
}

/** A stretch of rows in the order of time, from one up to before another. */
type Stretch = readonly [number, number];

/**
 * The id of each row's walk. A walk ends with a silence of six hours, and with a work between two
 * readings of circuits that it touched: what was read before is of another state of that path than
 * what was read after. A walk is called by the day of its first reading, by its hour and minute as well
 * where an earlier walk has that day's name, and by more where one has that minute's.
 */
export function walkNames(rows: TimedRows, pool: Pool, work: readonly WorkEntry[]): string[] {
  const seconds = Float64Array.from({ length: rows.count }, (_, i) => rows.moment(i).seconds!);
  const order = inOrder(seconds);
  const names: string[] = new Array(rows.count);
  const taken = new Set<string>();
  const name = ([from, to]: Stretch): void => {
    const first = rows.moment(order[from]!);
    const called = namesOf(first).find((one) => !taken.has(one)) ?? `${first.day}T-${taken.size}`;
    taken.add(called);
    for (let at = from; at < to; at++) names[order[at]!] = called;
  };
  let from = 0;
  for (let at = 1; at <= rows.count; at++) {
    const isSilent = at === rows.count || seconds[order[at]!]! - seconds[order[at - 1]!]! > SILENCE;
    if (!isSilent) continue;
    for (const part of atWorks([from, at], rows, { seconds, order }, pool, work)) name(part);
    from = at;
  }
  return names;
}

/** What a walk that begins then may be called, as the moment was written: `DAY`, `DAYT14:05`, `DAYT14:05:30`. */
function namesOf({ day, text }: Moment): readonly string[] {
  const [, hour = "00", minute = "00", second = "00"] =
    /[T ](\d\d):?(\d\d)?:?(\d\d)?/i.exec(text) ?? [];
  const byMinute = `${day}T${hour}:${minute}`;
  return [day, byMinute, `${byMinute}:${second}`];
}

/** The rows in the order of time, those of one moment as they stand. */
function inOrder(seconds: Float64Array): Uint32Array {
  const order = Uint32Array.from(seconds, (_, i) => i);
  const isSorted = seconds.every((second, i) => i === 0 || second >= seconds[i - 1]!);
  return isSorted ? order : order.sort((a, b) => seconds[a]! - seconds[b]! || a - b);
}

/** Parts of a stretch between works that change what is read again after them. */
function atWorks(
  [from, to]: Stretch,
  rows: TimedRows,
  { seconds, order }: { readonly seconds: Float64Array; readonly order: Uint32Array },
  pool: Pool,
  work: readonly WorkEntry[],
): readonly Stretch[] {
  const [first, last] = [seconds[order[from]!]!, seconds[order[to - 1]!]!];
  const within = work
    .filter(({ doneAt }) => doneAt.seconds !== null)
    .filter(({ doneAt }) => doneAt.seconds! > first && doneAt.seconds! <= last)
    .toSorted((a, b) => a.doneAt.seconds! - b.doneAt.seconds!);
  const parts: Stretch[] = [];
  let start = from;
  for (const one of within) {
    let cut = start;
    while (seconds[order[cut]!]! < one.doneAt.seconds!) cut += 1;
    const served = new Set(servedBy(pool, one).map((circuit) => circuitKey(circuitName(circuit))));
    const isRead = (begin: number, end: number): boolean =>
      order.subarray(begin, end).some((row) => served.has(circuitKey(rows.circuit(row))));
    if (cut === start || !isRead(start, cut) || !isRead(cut, to)) continue;
    parts.push([start, cut]);
    start = cut;
  }
  return [...parts, [start, to]];
}

/** The readings with the walks that their times make; those with an id of their own as they are. */
export function withWalkNames(
  readings: readonly Reading[],
  pool: Pool,
  work: readonly WorkEntry[],
): readonly Reading[] {
  const byTime = readings.filter(isByTime);
  const rows = {
    count: byTime.length,
    moment: (row: number) => byTime[row]!.takenAt!,
    circuit: (row: number) => byTime[row]!,
  };
  const names = walkNames(rows, pool, work);
  let next = 0;
  return readings.map((one) => {
    if (!isByTime(one)) return one;
    const walk = names[next++]!;
    return walk === one.walk ? one : { ...one, walk };
  });
}
