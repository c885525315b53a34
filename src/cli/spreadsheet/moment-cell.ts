/** What a spreadsheet's cell may hold. */
export type Cell = string | number | boolean | Date | null;

const two = (number: number): string => String(number).padStart(2, "0");

/**
 * Days that mean no day: a time of day alone is a fraction of day 0, which is 1899-12-30 (or 31) where
 * days count from 1900, and 1904-01-01 where they count from 1904 (ECMA-376 part 1, 18.17.4).
 */
const NO_DAY = /^(1899-12-3[01]|1904-01-01)$/;

/**
 * A date cell, which knows no time zone, as ISO 8601; without a time where it is midnight. A time of
 * day alone stands without its day, for a sheet that has days in a column of their own.
 */
export function momentCell(date: Date): string {
  // Times are fractions of a day in binary: half a second of rounding is theirs.
  const rounded = new Date(Math.round(date.getTime() / 1000) * 1000);
  const [year, month, day] = [
    rounded.getUTCFullYear(),
    rounded.getUTCMonth() + 1,
    rounded.getUTCDate(),
  ];
  const written = `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}`;
  const time = [rounded.getUTCHours(), rounded.getUTCMinutes(), rounded.getUTCSeconds()];
  const clock = time.map(two).join(":");
  if (NO_DAY.test(written)) return clock;
  return time.every((part) => part === 0) ? written : `${written}T${clock}`;
}
