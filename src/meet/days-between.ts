import { dayNumber } from "../domain/calendar.ts";

/** Whole days from one day to another; null where one is not known. */
export function daysBetween(from: string | null, to: string): number | null {
  const [start, end] = [from === null ? null : dayNumber(from), dayNumber(to)];
  return start === null || end === null ? null : end - start;
}
